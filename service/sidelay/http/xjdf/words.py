"""The words of the standard that are read here, and what of a job each stands for.

Closed lists are those of the XJDF 2.x schema. What words stand for is from memory, supported by
sample documents, except where a note says otherwise.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

VERSIONS = ("2.0", "2.1", "2.2", "2.3")
ONCE = (
    "LayoutIntent", "MediaIntent", "ColorIntent", "ProductionIntent", "FoldingIntent",
    "BindingIntent", "VariableIntent", "ContentCheckIntent",
)  # fmt: skip
REPEATED = ("LaminatingIntent", "ShapeCuttingIntent", "EmbossingIntent", "HoleMakingIntent")
UNSUPPORTED = ("AssemblingIntent",)
INTENTS = (*ONCE, *REPEATED, *UNSUPPORTED)

SURFACES = ("Front", "Back")
SIDES = ("OneSided", "OneSidedBack", "TwoSidedHeadToFoot", "TwoSidedHeadToHead")
SPREADS = ("SinglePage", "Spread")
COATINGS = ("Coated", "Gloss", "Matte", "Satin", "None")
SUBSTRATES = (
    "PS1", "PS2", "PS3", "PS4", "PS5", "PS6", "PS7", "PS8", "LWCPlus", "LWCStandard", "NewsPlus",
    "SCPlus", "SCStandard", "SNP",
)  # fmt: skip
MEDIA_TYPES = (
    "Paper", "SelfAdhesive", "CorrugatedBoard", "Synthetic", "Vinyl", "Film", "Foil", "Textile",
    "Transparency", "ShrinkFoil", "LaminatingFoil", "EmbossingFoil", "Disc", "Plate", "Screen",
    "Sleeve", "Blanket", "MountingTape", "GravureCylinder", "ImagingCylinder", "Other",
)  # fmt: skip
GRAINS = ("Any", "SameDirection", "XDirection", "YDirection")
PREFERENCES = ("Balanced", "CostEffective", "Fastest", "HighestQuality")
BINDING_TYPES = (
    "None", "SaddleStitch", "SideStitch", "CornerStitch", "SoftCover", "HardCover", "EdgeGluing",
    "AdhesiveNote", "Tape", "CoilBinding", "WireComb", "CombBinding", "StripBinding", "RingBinding",
    "ScrewBinding", "ChannelBinding", "LooseBinding",
)  # fmt: skip
BINDING_SIDES = ("Left", "Right", "Top", "Bottom")
SHAPES = ("Line", "Path", "Rectangular", "Round", "RoundedRectangle")
CUT_TYPES = ("Cut", "Perforate")
EMBOSSINGS = ("BlindEmbossing", "Braille", "EmbossedFinish", "FoilEmbossing", "FoilStamping")
VARIABLES = ("OneLine", "AddressField", "IdentificationField", "Area")
QUALITIES = ("Simple", "Imprint", "Full")
TRANSFERS = (
    "PrinterToBuyerDeliver", "PrinterToBuyerPickup", "BuyerToPrinterDeliver",
    "BuyerToPrinterPickup",
)  # fmt: skip
USAGES = ("Input", "Output")
FOLDS_FROM, FOLDS_TO = ("Front", "Left"), ("Up", "Down")

# What a product is made as. The list of the standard is open: any other type is told, and read by
# its pages, folds and binding. Insert, Label and Carton are from memory.
KINDS: Mapping[str, str] = MappingProxyType(
    {
        "Book": "section",
        "BookBlock": "section",
        "Notebook": "section",
        "Cover": "cover",
        "FrontCover": "cover",
        "BackCover": "cover",
        "Insert": "insert",
        "Envelope": "envelope",
        "Label": "label",
        "Carton": "carton",
    }
)
# From memory, but Letter. They are a leaf, or pages, by what else is told.
SHEETS = (
    "Letter", "Brochure", "Flyer", "Leaflet", "Postcard", "BusinessCard", "Poster", "Letterhead",
    "Leaf",
)  # fmt: skip
SINGLE_COVERS = ("FrontCover", "BackCover")
PRODUCT_TYPES = MappingProxyType(
    {"section": "BookBlock", "cover": "Cover", "insert": "Insert", "envelope": "Envelope",
     "label": "Label", "carton": "Carton"}
)  # fmt: skip

METHODS: Mapping[str, str] = MappingProxyType(
    {
        "SaddleStitch": "saddle_stitch",
        "SideStitch": "side_stitch",
        "CornerStitch": "side_stitch",
        "SoftCover": "perfect_bind",
        "HardCover": "case",
        "EdgeGluing": "pad",
        "CoilBinding": "coil",
        "WireComb": "wire",
    }
)
UNBOUND = ("None", "LooseBinding")
EDGES = MappingProxyType({"Left": "left", "Right": "left", "Top": "top", "Bottom": "top"})

# Grade of stock by what it is made of; of paper it hangs on the coating.
GRADES: Mapping[str, str] = MappingProxyType(
    {
        "SelfAdhesive": "labelstock",
        "CorrugatedBoard": "corrugated",
        "Synthetic": "film",
        "Vinyl": "vinyl",
        "Film": "film",
        "Foil": "foil",
        "Textile": "garment",
        "Transparency": "film",
        "ShrinkFoil": "film",
    }
)
FINISHES = MappingProxyType({"Gloss": "gloss", "Matte": "matt", "Satin": "silk"})
# ISO 12647-2:2013 names PS1 to PS8, from memory: PS1 to PS4 coated (PS3 glossy, PS4 matt), PS5 to
# PS8 without coating; the other names are those of the trade.
SUBSTRATE_GRADES: Mapping[str, tuple[str, str]] = MappingProxyType(
    {
        "PS1": ("coated", ""),
        "PS2": ("coated", ""),
        "PS3": ("coated", "gloss"),
        "PS4": ("coated", "matt"),
        "PS5": ("uncoated", ""),
        "PS6": ("uncoated", ""),
        "PS7": ("uncoated", ""),
        "PS8": ("uncoated", ""),
        "LWCPlus": ("coated", ""),
        "LWCStandard": ("coated", ""),
        "NewsPlus": ("newsprint", ""),
        "SCPlus": ("uncoated", ""),
        "SCStandard": ("uncoated", ""),
        "SNP": ("newsprint", ""),
    }
)

PROCESS_INKS = MappingProxyType(
    {"cyan": "Cyan", "magenta": "Magenta", "yellow": "Yellow", "black": "Black"}
)
# Inks whose name tells that they are not plain spot colours; any case.
INK_KINDS: Mapping[str, str] = MappingProxyType(
    {
        "white": "white",
        "opaquewhite": "white",
        "gold": "metallic",
        "silver": "metallic",
        "copper": "metallic",
        "bronze": "metallic",
    }
)
# Coatings done off line, by an operation with this finish; any other is a varnish on the press.
# The words are from memory, but GlossUV.
COATED_OFF_LINE = MappingProxyType(
    {"GlossUV": "gloss", "MatteUV": "matt", "SpotUV": "spot_uv"}
)

# Folds by the name of the fold, where it is known, else by the panels of the flat piece. Two and
# three panels have one and two folds, whatever the name; of more panels the least number that can
# make them is taken, and told. What the names draw could not be read: add what is known here.
FOLDS_BY_NAME: Mapping[str, int] = MappingProxyType({})
SURE_PANELS = 3

PROCESSES_RANKED = MappingProxyType({"CostEffective": "price", "Fastest": "readiness"})

# Operations as plants name them.
LAMINATE, VARNISH, EMBOSS, FOIL = "laminate", "varnish", "emboss", "foil"
CREASE, PERFORATE, DIE_CUT, ROUND_CORNERS = "crease", "perforate", "die_cut", "round_corners"
DRILL = "drill"
# In which order they are done: a film goes on before the varnish. Common practice, no source.
OPERATION_ORDER = (
    LAMINATE, VARNISH, EMBOSS, FOIL, CREASE, PERFORATE, DIE_CUT, ROUND_CORNERS, DRILL,
)  # fmt: skip
FILMS = MappingProxyType({"Gloss": "gloss", "Matte": "matt", "SoftTouch": "soft_touch"})
FOILS = MappingProxyType(
    {"Gold": "gold", "Silver": "silver", "Copper": "copper", "Holographic": "holographic"}
)

# Share of the area that variable print covers, by its type. Common practice, no source.
VARIABLE_COVERAGE: Mapping[str, float] = MappingProxyType(
    {"OneLine": 0.005, "AddressField": 0.01, "IdentificationField": 0.01, "Area": 0.05}
)

# What is said of a member that nobody reads, by what holds it and its name, or by its name; "" for
# any other.
LEFT: Mapping[str, str] = MappingProxyType(
    {
        "": "It has no bearing on the price here.",
        "JobID": "It names the job, and has no bearing on the price here.",
        "Comment": "It is for people: what it says is not read.",
        "Product/ProductType": "Its parts tell what is made.",
        "MediaIntent/Thickness": "The stock is found by grade and weight.",
        "LaminatingIntent/Thickness": "Films are priced as the plant has them.",
        "BindingIntent/BindingOrder": "It follows from the way of binding.",
        "SaddleStitching": "Stitches are priced as the plant makes them.",
        "SideStitching": "Stitches are priced as the plant makes them.",
        "Dimensions": "The flat size follows from pages and binding.",
        "FinishedDimensions": "The flat size is what is printed.",
        "SpineGlue": "The plant binds with the glue that it has.",
        "FoldCatalog": "How sheets fold follows from pages and binding.",
        "Earliest": "Only Required is read, as the due date.",
        "PrintStandard": "Print conditions have no bearing on the price here.",
        "Certification": "Certified stock is not told apart here: name a stock of the plant.",
        "Brand": "Brands are not told apart here: name a stock of the plant in MediaQuality.",
    }
)
