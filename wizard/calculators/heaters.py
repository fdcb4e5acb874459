"""Calculators of what heats: a coil's resistance beside what its plate promises."""

from __future__ import annotations

import math

from wizard.calculators.declaration import Calculator, Input
from wizard.calculators.values import Inputs, Settings, Value


def plate_share(inputs: Inputs, _settings: Settings) -> list[Value]:
    """A coil's resistance as a share of U^2 / P; first-order uncertainty. ValueError naming what is nothing."""
    from wizard.measure.water_electrical import electrical

    ohms, volts, watts = (inputs[name][0] for name in ("ohms", "volts", "watts"))
    plate = electrical.plate_resistance(volts.mean, watts.mean)
    share = ohms.mean / plate
    own = ohms.uncertainty / ohms.mean if ohms.mean else 0.0
    doubt = math.hypot(own, 2 * volts.uncertainty / volts.mean, watts.uncertainty / watts.mean)
    u = share * doubt if ohms.mean else ohms.uncertainty / plate
    return [Value("share of the plate", share, u, says=f"the plate promises {plate:.3g} ohm")]


ROWS = (
    Calculator(
        "plate-share",
        "a heater's resistance as a share of U^2 / P, by the volts and watts of its plate",
        {
            "ohms": Input("resistance", "the coil, cold", most=1),
            "volts": Input("voltage", "the volts of the plate", most=1),
            "watts": Input("power", "the watts of the heater by itself", most=1),
        },
        "ratio",
        "%",
        compute=plate_share,
    ),
)
