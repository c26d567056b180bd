"""What a place says on a day: the one composition every command and page takes its dates from.

``plan`` makes the record ready and turns cards, journal and weather into scouting windows;
``hindsight`` puts beside each date its record at this place and what moved it.
"""
