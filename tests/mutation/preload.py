"""What the trials have in common, imported once in the process that they all come from (see ``warm``)."""

import gc

import hypothesis
import numpy
import pydantic
import pytest
import scipy.optimize
import scipy.special
import tomli
import tomli_w
import transitions
import tree_sitter
import tree_sitter_toml

import tests.mutation.trial
from tests.mutation import warm

warm.load()
gc.freeze()

__all__ = [
    "hypothesis",
    "numpy",
    "pydantic",
    "pytest",
    "scipy",
    "tests",
    "tomli",
    "tomli_w",
    "transitions",
    "tree_sitter",
    "tree_sitter_toml",
    "warm",
]
