"""The pages of the documentation, built from the whole tree: ``python -m tests.pages``.

The sources are Markdown under the rooms that they describe; README.md is the first page, and its index the order of all
others. Warnings are errors. What the directives do: ``tests/pages/directives.py``.
"""

import logging
import sys
from pathlib import Path

ROOT = Path(__file__).parents[1]
sys.path.insert(0, str(ROOT))

import fulfil  # noqa: E402 - the tree itself, wherever the builder was started

logging.getLogger("alembic").setLevel(logging.WARNING)
project = "fulfil"
author = "the fulfil developers"
copyright = "the fulfil developers; MIT"
version = release = fulfil.__version__

extensions = ["myst_parser", "sphinx.ext.autodoc", "sphinx.ext.napoleon", "tests.pages.directives"]
root_doc = "README"
include_patterns = ["README.md", "DEVELOPERS.md", "demo_catalog/README.md", "**/pages/*.md", ".docs/*.md", "tests/*.md"]
exclude_patterns = [".venv", "build", "dist", "**/__pycache__", ".git", ".ci", ".changes", "tests/published"]
myst_enable_extensions = ["deflist"]
myst_heading_anchors = 4
nitpicky = False
autodoc_typehints = "signature"
autodoc_member_order = "bysource"
napoleon_numpy_docstring = False
add_module_names = False
highlight_language = "none"

html_theme = "furo"
html_title = "fulfil"
html_static_path = ["static"]
html_css_files = ["print.css"]
html_copy_source = False
html_show_sphinx = False
