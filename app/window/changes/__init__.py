"""The Changes task: two states of a site beside each other, and what one does that the other did not."""
