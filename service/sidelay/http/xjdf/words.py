"""The words of the standard that are read here, and what of a job each stands for.

Closed lists are those of the XJDF 2.x schema. What words stand for is as chapter 4 (product intent)
and appendix A of the XJDF 2.1 specification of CIP4 say, except where a note says otherwise.
"""

from __future__ import annotations

import re
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
# its pages, folds and binding. A box is cut from a blank, and glued; a Carton, which goods are
# shipped in, is made the same way.
KINDS: Mapping[str, str] = MappingProxyType(
    {
        "Book": "section",
        "HardCoverBook": "section",
        "SoftCoverBook": "section",
        "Body": "section",
        "BookBlock": "section",
        "Booklet": "section",
        "Section": "section",
        "Newspaper": "section",
        "Cover": "cover",
        "WrapAroundCover": "cover",
        "FrontCover": "cover",
        "BackCover": "cover",
        "Insert": "insert",
        "Envelope": "envelope",
        "Label": "label",
        "FlatBox": "carton",
        "Box": "carton",
        "BlankBox": "carton",
        "Carton": "carton",
    }
)
# They are a leaf, or pages, by what else is told.
SHEETS = (
    "Brochure", "BusinessCard", "CoverLetter", "FlatWork", "Leaflet", "Letter", "Map", "Notebook",
    "Postcard", "Poster", "ResponseCard", "SelfMailer",
)  # fmt: skip
SINGLE_COVERS = ("FrontCover", "BackCover")
FLAT_WORK, BLANK_BOX = "FlatWork", "BlankBox"
PRODUCT_TYPES = MappingProxyType(
    {"section": "BookBlock", "cover": "Cover", "insert": "Insert", "envelope": "Envelope",
     "label": "Label", "carton": "FlatBox"}
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
        "gold": "metallic",
        "silver": "metallic",
        "copper": "metallic",
        "bronze": "metallic",
    }
)
# Coatings done off line, by an operation with this finish, "" for any; Gloss or Matte beside UV
# tells its finish. GlossUV stands in sample documents; MatteUV and SpotUV are from memory. In
# ColorsUsed any coating covers spots only.
UV, SPOT_UV = "UV", "spot_uv"
COATED_OFF_LINE = MappingProxyType(
    {"UV": "", "GlossUV": "gloss", "MatteUV": "matt", "SpotUV": SPOT_UV}
)
UV_FINISHES = MappingProxyType({"Gloss": "gloss", "Matte": "matt"})
# Coatings printed like an ink: of them a spot may be asked in ColorsUsed.
VARNISHES = ("Aqueous", "Gloss", "Matte", "Satin", "Silicone", "Varnish")
# They stand in the list of coatings, and tell what an ink is.
NO_COATINGS = ("Ink", "InkJet", "Latex", "Relief", "RubResistant", "Toner", "WaterResistant")
# A spot colour of which nothing is known; it may stand more than once.
ANY_SPOT = "Spot"

# Folds by the name of the fold, else by the panels of the flat piece. Two and three panels have one
# and two folds, whatever the name; of more panels the least number that can make them is taken, and
# told. The specification calls these a parallel, a gate and a barrel fold of eight pages: two
# halvings; two wings folded in, then a halving; three panels rolled in one after the other.
FOLDS_BY_NAME: Mapping[str, int] = MappingProxyType({"F8-2": 2, "F8-4": 3, "F8-5": 3})
SURE_PANELS = 3

# Words for print processes that are called otherwise by plug-ins, which keep to those of JDF 1.x.
PRINT_PROCESSES: Mapping[str, str] = MappingProxyType(
    {
        "OffsetLithography": "Lithography",
        "InkJet": "Inkjet",
        "Rotogravure": "Gravure",
        "ScreenPrinting": "Screen",
        "ElectroInk": "Electrophotography",
    }
)
# An ID that only counts products, as those written here do: it is no name of a part.
NUMBERED_ID = re.compile(r"P[0-9]+")
PROCESSES_RANKED = MappingProxyType({"CostEffective": "price", "Fastest": "readiness"})

# Operations as plants name them.
LAMINATE, VARNISH, EMBOSS, FOIL = "laminate", "varnish", "emboss", "foil"
CREASE, PERFORATE, DIE_CUT, ROUND_CORNERS = "crease", "perforate", "die_cut", "round_corners"
STRIP, GLUE, DRILL = "strip", "glue", "drill"
# In which order they are done: a film goes on before the varnish. Common practice, no source.
OPERATION_ORDER = (
    LAMINATE, VARNISH, EMBOSS, FOIL, CREASE, PERFORATE, DIE_CUT, STRIP, GLUE, ROUND_CORNERS, DRILL,
)  # fmt: skip
# What a box goes through, flat but for its glue; a blank is not glued. Common practice, no source.
BOX, BLANK = (DIE_CUT, STRIP, GLUE), (DIE_CUT, STRIP)
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
        "StockType": "It tells the basic size of weights in pounds; Weight is in g/m2.",
        "NamedDimensions": "FinishedDimensions comes before it.",
        "SpineGlue": "The plant binds with the glue that it has.",
        "FoldCatalog": "How sheets fold follows from pages and binding.",
        "Earliest": "Only Required is read, as the due date.",
        "PrintStandard": "Print conditions have no bearing on the price here.",
        "Certification": "Certified stock is not told apart here: name a stock of the plant.",
        "Brand": "Brands are not told apart here: name a stock of the plant in MediaQuality.",
    }
)
