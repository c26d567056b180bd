"""What air can be, said once: the range any door lets in, and the narrower one of a garden.

The coldest and hottest air ever measured are −89.2 °C (Vostok, 1983) and 56.7 °C (Furnace Creek,
1913), by the World Meteorological Organization's archive of extremes.
"""

from __future__ import annotations

#: Rounded outwards: beyond it no number is air, whatever the instrument. [°C]
COLDEST_AIR, HOTTEST_AIR = -90.0, 60.0
#: No garden is colder or hotter. The warm end is that of Durre et al. (2010; 57.7, from memory,
#: with −89.4 at the cold end); nobody plants at −60 °C. [°C]
COLDEST_GARDEN, HOTTEST_GARDEN = -60.0, 57.7
