"""Pattern files that tests start from: the invented samples, and small ones to be spoilt."""

import json

import numpy as np

from core.validation.data import PATTERNS

SECTOR = PATTERNS / "demo-sector65-0850.adf"
FM = PATTERNS / "demo-fm4-cp-0098.adf"
OMNI = PATTERNS / "demo-omni-0155.adf"
DISH = PATTERNS / "demo-dish12-11g.nsm"
BASTA = PATTERNS / "EXANT_EX-AAS-35-64_3500_TrafficEnvelope_3drp.json"
FIELD = PATTERNS / "demo-fm-directional-relative-field.csv"

SMALL = """REVNUM:,NSMA WG16.99.050
REVDAT:,19990520
ANTMAN:,Example Antennas (invented)
MODNUM:,EX-SMALL
LOWFRQ:,806.0
HGHFRQ:,896.0
GUNITS:,DBI/DBR
MDGAIN:,7.2
ELTILT:,0.0,0.5
PATTYP:,typical
NOFREQ:,1
PATFRE:,850.0
NUMCUT:,2
PATCUT:,H
POLARI:,V/V
NUPOIN:,8
FSTLST:,-180.000,135.000
-180.0,-14.00,
-135.0,-12.00,
-90.0,-9.00,
-45.0,-3.00,
0.0,0.00,
45.0,-3.00,
90.0,-9.00,
135.0,-12.00,
PATCUT:,V
POLARI:,V/V
NUPOIN:,8
FSTLST:,-180.000,135.000
-180.0,-14.00,
-135.0,-12.00,
-90.0,-9.00,
-45.0,-3.00,
0.0,0.00,
45.0,-3.00,
90.0,-9.00,
135.0,-12.00,
ENDFIL:,EOF
"""

OLD = """MAKER (INVENTED)
MODEL
NONE
NONE
NONE
01/01/2025
NONE
6525.0 - 6875.0
38.0
NONE
HH      7       
 -180.0   -50.0 
  -10.0   -30.0 
  -10.0   -20.0 
    0.0     0.0 
    5.0   -15.0 
   10.0   -25.0 
  180.0   -49.0 
"""  # noqa: W291


def noted(data, code, words=""):
    return any(note.startswith(code) and words in note for note in data.notes)


def as_json(document):
    return json.dumps(document).encode()


def small_basta(document, **changes):
    """Return a document on a 30 by 45 degree grid with a peak straight ahead."""
    theta, phi = np.arange(-90.0, 91.0, 30.0), np.arange(0.0, 360.0, 45.0)
    off = np.abs(theta)[:, None] / 10.0 + np.minimum(phi, 360.0 - phi)[None, :] / 12.0
    document = document | {
        "Theta_Sampling": [-90.0, 30.0, 90.0],
        "Phi_Sampling": [0.0, 45.0, 315.0],
        "Data_Set": [[value] for value in off.ravel()],
    }
    return as_json(document | changes)
