"""From dates to looking: which days, where on the plant, how often, until when.

``windows`` is the window of one stage, ``statuses`` the word it stands at on a day;
``reservations`` what a careful reader should hear beside it, ``day_length`` the date on which days
are too short for another brood, ``second_broods`` whether heat allows one; ``own_sums`` is the sum
of a place learnt from its first finds, ``own_seasons`` gathers these and tells how each was
foretold by those before it.
"""
