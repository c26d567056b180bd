"""Files that people write in TOML, read against one schema: every fault at once, with its line.

A schema is a frozen dataclass; ``rules`` is what a single value may be, ``schema`` turns a
document into the dataclass or lists its faults, ``faults`` says them, ``lines`` finds the line of
a key.
"""
