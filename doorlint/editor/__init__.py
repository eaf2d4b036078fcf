"""A spec as an editor has it open: a text and the settings to what the editor shows and offers.

Everything here is a function of texts and values but :mod:`doorlint.editor.server`, which speaks the protocol.
"""
