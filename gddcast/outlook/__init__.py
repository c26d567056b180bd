"""When a heat sum will reach a goal: past years' weather continues this season.

``ensemble`` lays past seasons on this one's calendar, ``persistence`` and ``forecast`` say what
the coming days inherit, ``continuation`` finds the day on which each past year reaches the goal,
``member_times`` when each of them does, ``spans`` widens few years to honest shares, ``dates`` is
the answer with one dot a past year, ``mixture`` the answer where a range or a bracket is carried.
``changes`` tells why a date moved, ``effects`` what another reading of the number would do,
``seasons`` sets one season beside the others.
"""
