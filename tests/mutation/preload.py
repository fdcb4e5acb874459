"""What every trial imports that no mutant changes: imported once, in the process that the trials come from."""

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
]
