"""Line drawings of the places to look, our own: black strokes, the place itself in grey.

Each is drawn on a square of 100 by 100. Strokes are (what, path), painted one after another:
``shade`` is the place to look, ``face`` a white face that hides what lies behind it, and the
others are lines of four weights.
"""

from __future__ import annotations

from math import cos, radians, sin

from gddcast.cards.model import Picture
from gddcast.handouts.drawings import svg

#: 44 % ink: a copying machine still shows it.
_GREY = "#8f8f8f"
_WEIGHTS = {"fine": 1.1, "vein": 1.4, "edge": 2.0, "stem": 3.4}
_Strokes = tuple[tuple[str, str], ...]


def plant_drawing(place: Picture, name: str) -> str:
    """A drawing of a place to look, as SVG.

    Parameters
    ----------
    place : str
    name : str
        What the drawing is called; no two of a page alike.
    """
    said, strokes = _DRAWINGS[place]
    drawn = [_stroke(kind, path) for kind, path in strokes]
    group = ['<g stroke-linecap="round" stroke-linejoin="round">', *drawn, "</g>"]
    return svg.picture(100, 100, name, f"Where to look, shaded: {said}", group)


def place_words(place: Picture) -> str:
    """What a drawing shades, in words."""
    return _DRAWINGS[place][0]


def _stroke(kind: str, path: str) -> str:
    if kind == "shade":
        return f'<path d="{path}" fill="{_GREY}"/>'
    # A shaded part with its outline, or a white face with its outline, or a line.
    fill = {"shaded": _GREY, "face": "#ffffff"}.get(kind, "none")
    weight = _WEIGHTS.get(kind, _WEIGHTS["edge"])
    return f'<path d="{path}" fill="{fill}" stroke="{svg.INK}" stroke-width="{weight}"/>'


def _petals() -> _Strokes:
    """Five petals round the heart of a flower, which is shaded over their lower ends."""
    turns = [_turned(_PETAL, degrees) for degrees in range(0, 360, 72)]
    ribs = [_turned(((50, 38), (50, 12)), degrees) for degrees in range(0, 360, 72)]
    petals = tuple(("face", "M{} C{} {} {} C{} {} {}Z".format(*points)) for points in turns)
    return (
        *petals,
        ("shade", "M34 44A16 16 0 1 0 66 44A16 16 0 1 0 34 44Z"),
        ("fine", "".join("M{}L{}".format(*points) for points in ribs)),
        ("face", "M44 44A6 6 0 1 0 56 44A6 6 0 1 0 44 44Z"),
    )


_PETAL = ((50, 40), (36, 34), (34, 16), (50, 2), (66, 16), (64, 34), (50, 40))


def _turned(points: tuple[tuple[float, float], ...], degrees: float) -> list[str]:
    """Points turned about the heart of the flower."""
    along, across = cos(radians(degrees)), sin(radians(degrees))
    moved = ((x - 50, y - 44) for x, y in points)
    return [
        f"{50 + along * x - across * y:.1f} {44 + across * x + along * y:.1f}" for x, y in moved
    ]


_SOIL = "M12 94L16 94M28 96L34 96M46 94L51 94M62 97L68 97M80 94L84 94"

_LEAF_UNDERSIDE: _Strokes = (
    ("shade", "M50 78C41 75 36 68 34 59C42 60 47 64 50 70C53 64 58 60 66 59C64 68 59 75 50 78Z"),
    ("shade", "M50 55C43 52 39 46 37 38C44 41 48 45 50 50C52 45 56 41 63 38C61 46 57 52 50 55Z"),
    ("shade", "M31 56C25 57 18 54 13 48C20 46 25 47 28 50C26 45 27 40 31 35C36 42 36 50 31 56Z"),
    ("shade", "M69 56C74 57 79 55 83 51C78 48 75 48 72 50C74 45 73 40 69 35C64 42 64 50 69 56Z"),
    (
        "edge",
        (
            "M50 78C47 87 36 93 24 86C14 80 11 70 16 62C7 56 4 44 10 33C18 32 25 34 31 38"
            "C31 24 39 12 50 4C61 12 69 24 69 38C74 35 79 33 85 32M78 85C66 92 53 87 50 78"
        ),
    ),
    # The right flank rolls over towards the eye: we look at the underside.
    (
        "face",
        (
            "M85 32C88 36 90 43 89 50C88 56 86 60 84 62C88 69 86 79 78 85C80 76 77 70 72 66"
            "C76 62 78 58 79 52C80 45 82 37 85 32Z"
        ),
    ),
    (
        "fine",
        (
            "M86 40L82.5 42M87.5 47L81 48.5M86.5 54L79.5 55M83 60L76.5 61M84 67L76 66.5"
            "M84.5 73L78 71.5M82 79L79 77.5"
        ),
    ),
    ("stem", "M50 98L50 78"),
    ("edge", "M50 78L50 10M50 78L31 56L13 36M50 78L69 56L80 43"),
    (
        "vein",
        (
            "M50 55L37 37M50 55L63 37M50 34L43 23M50 34L57 23M31 56L33 39M31 56L15 48M69 56L67 39"
            "M50 78C42 78 32 78 19 76M50 78C58 78 66 77 73 76M35 78L26 85M66 77.5L71 84M36 78L24 68"
            "M64 78L71 71"
        ),
    ),
)

_LEAF_TOP: _Strokes = (
    ("shaded", "M20 78C8 52 30 20 90 10C96 56 66 92 20 78Z"),
    ("stem", "M6 95C12 88 16 83 20 78"),
    ("edge", "M20 78C40 58 64 38 89 11"),
    (
        "vein",
        (
            "M34 65C32 54 34 44 40 33M50 50C49 41 52 32 58 22M66 36C66 30 69 23 74 16"
            "M34 65C46 68 56 67 68 62M50 50C60 53 70 52 81 46M66 36C73 38 80 36 87 32"
        ),
    ),
)

_SHOOT_TIP: _Strokes = (
    ("shaded", "M50 50C36 48 26 38 24 22C38 26 47 36 50 50Z"),
    ("shaded", "M50 50C64 48 74 38 76 22C62 26 53 36 50 50Z"),
    ("shaded", "M50 50C40 38 40 18 50 5C60 18 60 38 50 50Z"),
    ("vein", "M50 48L50 16M48 46C42 38 36 32 30 28M52 46C58 38 64 32 70 28"),
    ("stem", "M50 98L50 50"),
    ("face", "M50 84C40 70 22 66 5 74C14 90 36 94 50 84Z"),
    ("face", "M50 70C60 58 78 54 95 62C86 78 64 80 50 70Z"),
    ("vein", "M50 84C38 80 24 76 11 76M50 70C62 66 76 63 89 64"),
)

_FLOWER: _Strokes = (
    ("stem", "M50 58C50 76 47 88 44 98"),
    ("face", "M48 82C58 72 72 72 86 80C76 92 60 94 48 82Z"),
    ("vein", "M48 82C60 80 70 79 80 81"),
    *_petals(),
)

_FRUIT: _Strokes = (
    ("shaded", "M50 34C34 24 10 32 10 60C10 84 32 96 50 92C68 96 90 84 90 60C90 32 66 24 50 34Z"),
    ("face", "M50 34C44 26 36 22 26 24C30 32 38 36 50 34Z"),
    ("face", "M50 34C56 26 64 22 74 24C70 32 62 36 50 34Z"),
    ("face", "M50 34C46 38 42 44 42 50C48 46 50 40 50 34Z"),
    ("face", "M50 34C54 38 58 44 58 50C52 46 50 40 50 34Z"),
    ("stem", "M50 34C50 24 54 14 62 5"),
    ("vein", "M20 62C20 52 25 46 32 43"),
)

_EAR: _Strokes = (
    ("edge", "M16 98C18 66 17 34 19 2M24 98C26 66 25 34 26 2"),
    ("vein", "M17 60C20 62 23 62 25.5 60M17.5 24C20 26 23 26 25.8 24"),
    ("face", "M17.5 26C8 20 2 30 2 46C7 36 13 32 17.5 34"),
    ("shade", "M68 34C58 27 58 14 68 8C74 4 84 4 92 9C97 15 93 26 82 38Z"),
    ("stem", "M25 93C32 92 36 88 39 83"),
    ("face", "M38 84C34 66 46 46 68 33C74 34 80 37 82 41C80 66 64 88 46 90C42 90 39 88 38 84Z"),
    ("face", "M38 84C34 62 40 40 52 24C56 36 54 52 46 68"),
    ("face", "M46 90C64 88 80 76 92 58C80 58 68 64 58 74"),
    (
        "fine",
        (
            "M41 80C40 64 44 46 51 32M50 88C64 84 76 74 86 62M46 68C52 54 60 42 70 34.5"
            "M52 78C64 64 72 52 78 38.5"
        ),
    ),
    (
        "vein",
        (
            "M68 33C62 26 62 14 70 8M71 34C67 24 70 12 78 6M74 35C74 26 78 14 86 7"
            "M77 36.5C80 28 88 22 92 10M80 38.5C86 34 93 30 95 20M82 41C88 38 94 38 97 32"
            "M68 33C62 30 57 26 56 18"
        ),
    ),
)

_STEM_BASE: _Strokes = (
    ("shade", "M38 86C43 74 44 64 44 52L56 52C56 64 57 74 62 86C54 88 46 88 38 86Z"),
    (
        "edge",
        "M37 86C43 74 44 60 44 46C38 37 29 32 19 31M45 2C45.5 12 45 24 44.5 36C38 29 30 25 20 24",
    ),
    ("edge", "M63 86C57 74 56 60 56 50C62 42 70 37 80 36M55 2C55 14 56 28 56 41C62 33 71 30 80 29"),
    ("face", "M20 27.5C24 20 22 10 16 3C5 8 1 20 4 33C10 36 17 34 20 27.5Z"),
    ("face", "M80 32.5C76 25 78 15 84 8C95 13 99 25 96 38C90 41 83 39 80 32.5Z"),
    ("vein", "M20 27.5C17 20 15 12 15 8M18 22L10 17M19 25C14 27 9 28 6 29"),
    ("vein", "M80 32.5C83 25 85 17 85 13M82 27L90 22M81 30C86 32 91 33 94 34"),
    ("edge", "M2 88C14 84 24 88 37 86.5M63 86.5C74 88 86 84 98 88"),
    ("vein", f"M37 86.5C46 89 54 89 63 86.5M48 82L48 70M52 66L52 58M53.5 82L53 74{_SOIL}"),
)

_ROOT: _Strokes = (
    (
        "shaded",
        (
            "M38 40C34 44 35 56 39 68C43 80 48 88 50 98C52 88 57 80 61 68C65 56 66 44 62 40"
            "C56 37 44 37 38 40Z"
        ),
    ),
    ("edge", "M2 38C14 35 26 40 38 39M62 39C74 40 86 35 98 38"),
    ("vein", "M39 54L48 55M61 62L53 63M43 74L50 75"),
    ("vein", "M36 52C28 54 24 60 18 60M63 58C72 60 76 68 84 68M41 72C34 76 32 82 26 84"),
    (
        "vein",
        "M59 74C66 78 68 84 76 86M10 48L14 48M22 70L26 71M84 52L88 52M76 44L80 44M88 80L92 80",
    ),
    ("edge", "M46 38C44 26 36 16 24 10M50 38C50 24 50 14 50 3M54 38C56 26 64 16 76 10"),
    (
        "vein",
        (
            "M34 17L33 9M38 22L30 22M42 28L35 30M66 17L67 9M62 22L70 22M58 28L65 30M50 12L44 7"
            "M50 12L56 7M50 22L43 16M50 22L57 16"
        ),
    ),
)

_GROUND: _Strokes = (
    ("shaded", "M4 78C8 66 28 62 50 62C72 62 92 66 96 78C92 92 72 96 50 96C28 96 8 92 4 78Z"),
    ("face", "M14 80C14 75 22 74 25 78C25 83 16 85 14 80Z"),
    ("face", "M68 86C70 81 79 81 80 86C78 91 69 91 68 86Z"),
    ("face", "M74 70C76 67 83 68 83 71C81 74 75 74 74 70Z"),
    ("face", "M36 88C37 85 43 85 44 88C42 91 37 91 36 88Z"),
    ("vein", "M44 76L38 80L40 84M56 76L62 79L60 83L64 86"),
    ("stem", "M50 77C50 60 49 48 50 34"),
    ("face", "M50 46C40 36 26 34 14 40C22 52 38 54 50 46Z"),
    ("face", "M50 46C60 36 74 34 86 40C78 52 62 54 50 46Z"),
    ("face", "M50 34C40 28 36 16 40 6C48 12 52 22 50 34Z"),
    ("face", "M50 34C60 28 64 16 60 6C52 12 48 22 50 34Z"),
    ("fine", "M48 45C38 42 28 40 20 41M52 45C62 42 72 40 80 41"),
)

_BOARDS: _Strokes = (
    ("shade", "M12 83L24 85.5L88 55L88 87C66 89 36 88 12 86Z"),
    ("face", "M6 78L80 43L97 45L24 80Z"),
    ("face", "M6 78L6 83L24 85.5L24 80Z"),
    ("face", "M24 80L97 45L97 50.5L24 85.5Z"),
    ("fine", "M18 76.5L82 46M22 78.5L90 46.5"),
    ("edge", "M2 87C20 89 34 85 50 88C66 91 82 85 98 88"),
    ("stem", "M88 87L88 55.5"),
    ("face", "M31 64C26 46 34 26 52 16C58 34 52 52 40 60Z"),
    ("face", "M26 66C14 58 7 42 9 26C22 32 30 48 30 64"),
    ("vein", f"M35 62C37 48 43 34 51 20M39 46L33 40M43 36L50 37M27 66C21 54 15 42 11 31{_SOIL}"),
)

_TRUNK: _Strokes = (
    (
        "shade",
        (
            "M33.4 46C34 64 31 81 8 90C22 89 36 89 50 90C64 90 80 90 92 90C69 80 66 62 66.6 46"
            "C56 50 44 50 33.4 46Z"
        ),
    ),
    ("edge", "M30 2C33 24 33.5 40 33.5 52C33.5 68 30 82 8 90"),
    ("edge", "M70 2C68 10 67 18 67 25C74 21 82 15 89 7"),
    ("edge", "M96 19C86 27 76 33 66.5 37C66 60 67 80 92 90"),
    ("edge", "M2 91C14 88 20 92 30 90C42 88 56 92 68 90C80 88 88 92 98 91"),
    (
        "vein",
        (
            "M42 8C44 18 41 26 43 36M54 4C52 14 56 22 54 32M47 42C45 52 49 60 46 70"
            "M58 46C60 56 56 62 59 74M40 60C41 68 38 74 36 80M51 66C53 74 50 80 52 86M62 18L61 28"
            "M38 34L39 44M24 84C28 81 31 78 33 74M70 78C73 82 76 84 80 86"
        ),
    ),
    ("vein", "M14 96L18 96M44 97L50 97M76 96L80 96"),
)

_TRAP: _Strokes = (
    ("stem", "M3 15C24 9 60 15 97 5"),
    ("face", "M20 12C16 3 8 1 3 3C6 11 12 14 20 12Z"),
    ("face", "M80 10C84 19 92 21 97 19C94 11 88 8 80 10Z"),
    ("vein", "M20 12L7 5M80 10L94 17M54 12L54 35"),
    ("shaded", "M8 86L36 42L62 86Z"),
    ("face", "M36 42L72 32L97 72L62 86Z"),
    ("vein", "M8 86L41 77L62 86M41 77L47 61M80 76L86 70M72 80L80 72"),
)

_WHOLE_PLANT: _Strokes = (
    ("stem", "M50 88C48 70 42 58 31 51M50 88L50 36M50 88C54 70 60 60 72 53"),
    ("stem", "M50 88C44 80 34 76 24 76M50 88C58 80 68 78 78 78"),
    ("shaded", "M50 38C36 34 32 18 50 4C68 18 64 34 50 38Z"),
    ("shaded", "M32 52C18 56 6 46 4 30C20 24 34 34 32 52Z"),
    ("shaded", "M70 54C84 58 96 48 97 32C80 26 68 36 70 54Z"),
    ("shaded", "M26 77C18 86 8 84 2 74C10 64 22 66 26 77Z"),
    ("shaded", "M76 79C84 88 93 86 98 76C90 66 79 68 76 79Z"),
    (
        "vein",
        (
            "M50 36L50 14M50 30L44 23M50 24L56 17M31 50C24 44 16 38 10 35M71 52C78 46 86 40 91 37"
            "M25 77C18 76 12 75 7 75M77 79C84 78 90 77 93 77"
        ),
    ),
    ("edge", "M2 91C20 87 36 91 50 89C66 87 82 92 98 90"),
    ("vein", "M18 96L22 96M46 97L52 97M78 96L82 96"),
)

#: Each place: what is shaded, and how it is drawn.
_DRAWINGS: dict[Picture, tuple[str, _Strokes]] = {
    "leaf-underside": ("underside of a leaf, the forks of the veins", _LEAF_UNDERSIDE),
    "leaf-top": ("upper side of a leaf", _LEAF_TOP),
    "shoot-tip": ("tip of a shoot, the youngest leaves", _SHOOT_TIP),
    "flower": ("inside of a flower", _FLOWER),
    "fruit": ("fruit", _FRUIT),
    "ear": ("silk and tip of an ear of corn", _EAR),
    "stem-base": ("base of the stem", _STEM_BASE),
    "root": ("root", _ROOT),
    "ground": ("ground round the plant", _GROUND),
    "boards": ("ground under a board", _BOARDS),
    "trunk": ("foot of a trunk", _TRUNK),
    "trap": ("inside of a hanging trap", _TRAP),
    "whole-plant": ("the whole plant", _WHOLE_PLANT),
}
