"""Print the oldest version of everything gddcast says it can use, as pip constraints."""

import re
import tomllib
from pathlib import Path

project = tomllib.loads(Path("pyproject.toml").read_text(encoding="utf-8"))["project"]
extras = project["optional-dependencies"]
for wanted in (*project["dependencies"], *extras["charts"], *extras["grid"]):
    name, oldest = re.fullmatch(r"([\w.-]+)(?:\[\w+\])?>=([\w.]+)", wanted).groups()
    print(f"{name}=={oldest}")
