"""The site as one immutable value: what stands where, what people stand on, what reflects."""
