"""The words people read, each sentence worded once for every surface."""
