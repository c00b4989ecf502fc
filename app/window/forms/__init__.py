"""Forms that are made from declarations: texts, fields, groups of them."""
