"""A second door: a simulator that lives a job and shares nothing with the package it tests.

It is written from what the trade knows (statics, geometry, published factors) and reads a spec as plain data.
"""
