"""Lessons as text for a terminal: worked day, worksheet, planted errors, seasons, quizzes."""
