"""Planning an entry: the garment, the way and its stays, against the transmitters as the job sets them."""
