"""What a developer has set on their own computer is no part of a test."""

import os

os.environ["FULFIL_SETTINGS"] = os.devnull
