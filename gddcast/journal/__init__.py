"""What people saw, sowed and did, and what follows from it.

``entries`` are the finds, clean looks, sowings and jobs; ``clocks`` says where a sum starts and
how a find restarts it; ``finds`` checks a find before it is written.
"""
