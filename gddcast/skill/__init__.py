"""How good outlooks have been: every past season foretold from the others, and scored.

``targets`` are the dates, ``backtest`` foretells them, ``scores`` are the measures,
``track_record`` the sentence by lead time.
"""
