"""Fasteners into buildings: how a group shares a load, and what one fastener of each kind may carry. SI throughout."""
