"""The counter-based generator against its authors' known answers.

Source: the known-answer file kat_vectors of the Random123 library (J. Salmon and others,
"Parallel random numbers: as easy as 1, 2, 3", 2011), philox4x64 with 10 rounds. Values
from memory. numpy counts up before it draws, so the counter before the one wanted is set.
"""

import numpy as np


def test_all_zero_counter_and_key():
    bits = np.random.Philox(key=0, counter=2**256 - 1)
    assert [int(word) for word in bits.random_raw(4)] == [
        0x16554D9ECA36314C,
        0xDB20FE9D672D0FDC,
        0xD7E772CEE186176B,
        0x7E68B68AEC7BA23B,
    ]


def test_all_one_counter_and_key():
    bits = np.random.Philox(key=2**128 - 1, counter=2**256 - 2)
    assert [int(word) for word in bits.random_raw(4)] == [
        0x87B092C3013FE90B,
        0x438C3C67BE8D0224,
        0x9CC7D7C69CD777B6,
        0xA09CAEBF594F0BA0,
    ]
