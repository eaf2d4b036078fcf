"""One step of the design a file: each takes a draft and gives it back with more values."""
