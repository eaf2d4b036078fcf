"""Reads, checks and compiles the rules, and makes each a cell of the graph."""
