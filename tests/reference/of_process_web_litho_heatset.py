"""What the web litho model says to the heatset cases."""

from collections.abc import Callable, Mapping
from typing import Any

from reference.of_process_web_litho import HEATSET, run_of, web_part, web_press, web_stock, web_work
from sidelay_web_litho import press_schema
from sidelay_web_litho.emission import CAPTURED_BY_OVEN, voc_kg
from sidelay_web_litho.running import web_m_per_s

Inputs = Mapping[str, Any]


def ink_voc(inputs: Inputs) -> float:
    """Vapour of the ink, by whatever the case says of its control."""
    return voc_kg(
        inputs["ink_kg"],
        inputs["oil_fraction"],
        inputs["retention"],
        captured_share=inputs.get("capture", 1.0),
        destroyed_share=inputs.get("destruction", inputs.get("control", 0.0)),
    )


def web_speeds(inputs: Inputs) -> list[float]:
    """Web speed at which a press rated so runs each cut-off; the source rounds to 0.01 m/s."""
    press = web_press(HEATSET, rated_cutoffs_per_hour=inputs["copies_per_h"])
    part = web_part(stock=web_stock(grade="coated", grammage_gsm=90.0))
    found = []
    for cutoff in inputs["cutoff_mm"]:
        net = run_of(press, web_work(part, length_mm=cutoff)).cycles_per_hour
        assert isinstance(net, float)
        found.append(round(web_m_per_s(net, cutoff), 2))
    return found


def oil_pct(_: Inputs) -> float:
    """Oil that may evaporate in heatset ink, the default of the schema."""
    return 100 * float(press_schema()().fields["ink_oil_share"].load_default)


FIGURES: dict[str, Callable[[Inputs], Any]] = {
    "heatset_ink_oil_pct": oil_pct,
    "web_m_per_s": web_speeds,
    "voc_kg": ink_voc,
    "dryer_capture_ink_oil": lambda _: CAPTURED_BY_OVEN["ink_oil"],
    "auto_blanket_wash": lambda _: CAPTURED_BY_OVEN["automatic_blanket_wash"],
    "alcohol_substitute": lambda _: CAPTURED_BY_OVEN["alcohol_substitute"],
    "isopropyl_alcohol": lambda _: CAPTURED_BY_OVEN["isopropyl_alcohol"],
}
NOT_MODELLED: dict[str, str] = {
    "sheetfed_ink_oil_pct": "sheetfed ink keeps nearly all its oil, and no figure of an estimate "
    "hangs on it",
}
