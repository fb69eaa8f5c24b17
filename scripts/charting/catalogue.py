"""Codes of the object classes and attributes that our cells use (IHO S-57 Edition 3.1, Appendix A)."""

CLASSES = {
    "ACHBRT": 3, "ACHARE": 4, "BRIDGE": 11, "BOYLAT": 17, "CBLOHD": 21, "CBLSUB": 22, "CTNARE": 27, "COALNE": 30,
    "DEPARE": 42, "DRGARE": 46, "DMPGRD": 48, "FAIRWY": 51, "LNDARE": 71, "LIGHTS": 75, "MORFAC": 84, "OBSTRN": 86,
    "PILPNT": 90, "PIPSOL": 94, "RESARE": 112, "SEAARE": 119, "SBDARE": 121, "SLCONS": 122, "SOUNDG": 129,
    "UWTROC": 153, "UNSARE": 154, "WEDKLP": 158, "WRECKS": 159, "M_COVR": 302, "M_NSYS": 306, "M_QUAL": 308,
    "C_ASSO": 401,
}
ATTRIBUTES = {
    "BOYSHP": 4, "CATACH": 8, "CATBRG": 9, "CATCBL": 11, "CATCOV": 18, "CATDPG": 23, "CATLAM": 36, "CATMOR": 40,
    "CATOBS": 42, "CATPIP": 47, "CATREA": 56, "CATSEA": 59, "CATSLC": 60, "CATWED": 70, "CATWRK": 71, "CATZOC": 72,
    "COLOUR": 75, "DRVAL1": 87, "DRVAL2": 88, "EXPSOU": 93, "INFORM": 102, "LITCHR": 107, "MARSYS": 109,
    "NATSUR": 113, "OBJNAM": 116, "ORIENT": 117, "QUASOU": 125, "RADIUS": 127, "RESTRN": 131, "SIGPER": 142,
    "TECSOU": 156, "VALSOU": 179, "VERCLR": 181, "VERCSA": 184, "VERDAT": 185, "WATLEV": 187, "NOBJNM": 301, "POSACC": 401,
    "QUAPOS": 402,
}
NATIONAL = {ATTRIBUTES["NOBJNM"]}  # texts that belong into NATF

# The areas that cover the whole of a cell, once (Appendix B.1, group 1).
SKIN_OF_THE_EARTH = {"DEPARE", "DRGARE", "LNDARE", "UNSARE"}
