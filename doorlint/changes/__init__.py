"""What a proposed change moves, and what there is to decide."""
