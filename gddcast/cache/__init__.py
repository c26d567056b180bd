"""Answers that were worked out before, in the cache folder: what may be lost at any time.

=============  ====================================================================================
``answers``    the table of answers: one of each question, used while what it rests on is the same
``as_json``    frozen values as JSON and back, cards by their keys; nothing read is ever run
=============  ====================================================================================
"""
