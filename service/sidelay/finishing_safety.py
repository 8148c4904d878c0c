"""What can hurt someone in finishing and binding, by the name of the operation or method.

These are the usual cautions, not instruction: machine manuals, local codes and licensed practice
come first, and every list of them ends by saying so. Source: general knowledge of the trade, from
memory; no text of a code is quoted.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import NamedTuple

from .machines import Step

FOOD_CONTACT = "food_contact"

DEFER = (
    "Machine manuals, local safety codes and licensed practice come first: only trained people "
    "set and run the machine, and it is locked out before anyone reaches in."
)
KNIFE = (
    "The clamp and the knife of a guillotine crush and cut: two-hand start and light guard in "
    "order, no hand under the clamp, knives changed and carried only in their holders."
)
BLADE = "Moving blades and wheels cut: guards shut, fingers away from the cutting line."
NIP = (
    "Running rollers draw in hands, hair and sleeves: guards shut, stop it before you clear a "
    "jam, nothing loose worn."
)
PLATEN = (
    "A platen closes with a force that crushes hands and arms: guards and stops tried before each "
    "shift, and it is locked out and blocked open before anyone works inside. Steel rules are "
    "sharp."
)
STITCH = (
    "Stitching heads drive wire through a finger, and cut ends fly: guards over the heads, eye "
    "protection, locked out before a head is cleared or threaded."
)
DRILL = (
    "Drills and punches pierce and catch: hold-down and guard in place, hands off the lift, no "
    "gloves near a turning drill; a drill is hot and sharp when it is changed."
)
HOT_GLUE = (
    "Hot-melt glue sticks to skin and burns deep: gloves and eye protection, tank covered, cool a "
    "burn with water and do not pull the glue off. Its fumes have to be drawn off."
)
PUR = (
    "Reactive (PUR) glue, where it is used, gives off isocyanates, which can bring on asthma for "
    "life: extraction at the tank, skin and eyes covered, health watched as local law asks. Follow "
    "the supplier's safety data sheet."
)
COLD_GLUE = (
    "Glues, and what washes them off, may irritate skin and give off vapour: gloves, fresh air, "
    "and the supplier's safety data sheet at hand."
)
HEAT = "Hot plates, rollers and tunnels burn, also after they are turned off: let them cool."
SHRINK = (
    "A sealing bar burns and crushes, and overheated film gives off fumes: keep hands out of the "
    "tunnel and draw the air off."
)
VARNISH = (
    "Dispersion varnish irritates skin and eyes; solvent varnish gives off vapour that can burn "
    "or explode: ventilate, keep flames and sparks away, keep wipes in closed metal cans, follow "
    "local air and fire rules."
)
UV = (
    "Where it is cured by UV: lamps burn eyes and skin and may form ozone, so shields stay shut "
    "and the air is drawn off; varnish not yet cured can bring on allergies, so gloves always."
)
FOIL = (
    "Foil is stamped hot: the heated die burns and the press crushes; scorched foil gives off "
    "fumes."
)
FLYING = "Ends of wire and coil are sharp and fly when they are cut: eye protection and gloves."
DUST = (
    "Milled, drilled and cut paper makes dust that harms lungs and can burn: draw it off at the "
    "machine, sweep no dust into the air, keep sparks away."
)
LIFT = (
    "Lifting hurts backs: keep cartons within the weight that local rules allow one person, share "
    "or lift by machine what is heavier."
)
PALLET = (
    "Pallets fall and trucks run people over: stack no higher than holds, strap or wrap it, only "
    "licensed drivers on trucks, safety shoes."
)
BY_HAND = "Paper edges and tools cut, and the same movement for hours strains: gloves and breaks."
ADDRESS_INK = (
    "Addressing inks and their thinners may give off vapour that can burn: ventilate, no sparks, "
    "the supplier's safety data sheet at hand."
)
MACHINE = "Moving parts catch, cut and crush: guards shut, stop it before you reach in."
FOOD = (
    "The piece is for food: have the supplier confirm in writing that this glue, film, foil or "
    "varnish is fit for that use, and check it against local food law, before it is used."
)

# What can hurt in each operation, step and method. What is not named here gets MACHINE.
_HAZARDS: Mapping[str, tuple[str, ...]] = {
    "cut_parents": (KNIFE, LIFT),
    "cut": (KNIFE, DUST),
    "cut_on_table": (BLADE,),
    "fold": (NIP,),
    "hand_fold": (BY_HAND,),
    "slit": (BLADE, NIP),
    "die_cut_and_slit": (BLADE, NIP),
    "wind_reels": (NIP, LIFT),
    "crease": (NIP,),
    "score": (BLADE, NIP),
    "perforate": (PLATEN, BLADE, NIP),
    "number": (PLATEN,),
    "drill": (DRILL, DUST),
    "punch": (DRILL,),
    "laminate": (NIP, HEAT, COLD_GLUE),
    "varnish": (NIP, VARNISH, UV),
    "emboss": (PLATEN, HEAT),
    "deboss": (PLATEN, HEAT),
    "foil": (FOIL, PLATEN),
    "die_cut": (PLATEN, DUST),
    "strip": (BY_HAND, DUST),
    "glue": (NIP, HOT_GLUE, COLD_GLUE),
    "round_corners": (BLADE,),
    "collate": (NIP,),
    "gather": (NIP,),
    "insert": (NIP,),
    "address": (NIP, ADDRESS_INK),
    "shrink_wrap": (SHRINK, HEAT),
    "band": (NIP, HEAT),
    "carton": (LIFT, BY_HAND),
    "pallet": (PALLET, LIFT),
    "saddle_stitch": (STITCH, KNIFE),
    "side_stitch": (STITCH,),
    "perfect_bind": (HOT_GLUE, PUR, DUST, KNIFE),
    "thread_sewn": (NIP, COLD_GLUE, HOT_GLUE, KNIFE),
    "case": (NIP, COLD_GLUE, HOT_GLUE, PLATEN),
    "wire": (DRILL, FLYING),
    "coil": (DRILL, FLYING, HEAT),
    "pad": (COLD_GLUE, KNIFE),
}
# Where glue, film, foil or varnish stays on the piece.
_STAYS_ON = frozenset(
    ("glue", "laminate", "varnish", "foil", "perfect_bind", "thread_sewn", "case", "pad")
)


class FinishingSafety(NamedTuple):
    """An operation, or a method of binding, and what can hurt someone in it."""

    operation: str
    cautions: tuple[str, ...]


def cautions_of(operation: str, *, uses: Iterable[str] = ()) -> tuple[str, ...]:
    """Return the cautions of an operation; uses: what the piece is for, as in Job.uses."""
    found = _HAZARDS.get(operation, (MACHINE,))
    if FOOD_CONTACT in uses and operation in _STAYS_ON:
        found = (*found, FOOD)
    return (*found, DEFER)


def safety_of(steps: Iterable[Step], *, uses: Iterable[str] = ()) -> tuple[FinishingSafety, ...]:
    """Return the cautions of every operation among some steps, in the order of first use.

    Work that is bought out counts too: someone does it.
    """
    uses = tuple(uses)
    names = dict.fromkeys(step.name for step in steps)
    return tuple(FinishingSafety(name, cautions_of(name, uses=uses)) for name in names)
