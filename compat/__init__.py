# SPDX-License-Identifier: Apache-2.0
"""Will this control work with this load: an answer with a number, for house lighting circuits."""

__version__ = "0.1.0"
