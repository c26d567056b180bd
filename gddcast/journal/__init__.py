"""What people saw, sowed and did, and what follows from it.

``entries`` are the finds, clean looks, sowings and jobs; ``clocks`` says where a sum starts and
how a find restarts it; ``finds`` checks a find before it is written; ``dating`` says which looks
date a stage, at plants or in traps; ``begun``, which earlier stages a find says have begun.
"""
