"""Symptoms: something is wrong; what do I measure, what does it mean, what do I do tonight?"""

from __future__ import annotations

from aqualib.tank.symptoms.what_it_says import Leaf, Symptom, symptoms
from aqualib.tank.symptoms.what_tonight import Diagnosis, diagnose
