"""What a reader of any result must know before relying on it, in our own words."""

ONE_LINE = "An aid for a competent engineer; it does not replace an independent check or the standard."

CAUTIONS = (
    "This is an aid for a competent engineer. A qualified person who takes responsibility for the structure "
    "must check the input, the method and the result independently before anything is built or kept in use.",
    "The standard itself, its national choices, the contract and the authority in charge come first. Hold the "
    "edition named here; its values may have been amended since, and values marked as unconfirmed must be "
    "compared with it.",
    "Covered is structural steel under many elastic load cycles in ordinary air up to 150 °C, made to the "
    "execution standard named. Not covered are earthquake and other low-cycle fatigue, sea water, corrosion, "
    "brittle fracture, pressure equipment, lifting accessories and parts that are cracked already.",
    "If a crack, a joint that has slipped or a loose bolt is found, make the place safe and inspect it first; an "
    "engineer decides what follows. No remaining life stated here applies to a cracked part.",
    "Retightening or replacing bolts and welding on a loaded joint can release it. Do so only when unloaded or "
    "propped, to a written procedure, by qualified people.",
    "Detail categories rest on workmanship, weld quality and inspection that a calculation cannot see. They hold "
    "only if what is asked for the category is done and recorded.",
    "Grip rests on faying surfaces that are prepared and kept as stated (no paint where none is assumed) and on "
    "bolts tightened by a method that reaches the preload. A tightening torque alone shows neither.",
    "The record stands for the whole design life only as far as the user says so. Rare heavy events that "
    "it does not contain are not in the result.",
    "Fatigue lives scatter widely and damage summation is an approximation. A damage below 1 is a design "
    "criterion and no guarantee that no crack will form.",
    "What is not listed as checked has not been checked. A state of “not judged” never means that it holds.",
    "Signature fields are left blank on purpose: this stays a draft until named people have made, checked and "
    "approved it.",
)

NOT_CHECKED = (
    "Members, plates and supports away from the joint, and the stability of the structure.",
    "Plate bending and prying, unless their effect is contained in the loads or stresses given.",
    "Any failure mode of the joint without a check of its name here (for example net section, block tearing, "
    "static strength of the welds, fatigue of the bolts).",
    "Any place that could crack and is not listed as a detail, with its weld toe and its weld root; cracks "
    "caused by forced deformation rather than by load.",
    "Loosening of bolts by repeated transverse movement, loss of preload with time, fretting.",
    "Low-cycle fatigue, earthquake, fire, impact beyond the record, corrosion, sea water, service above 150 °C.",
    "Brittle fracture: toughness of the steel for its thickness and lowest temperature.",
    "Execution: weld quality, flatness, surface preparation, tightening, inspection and its records.",
    "The truth of the input: sensors, calibration, signs and levers of the channels, and whether the record is "
    "typical of the life it stands for.",
)
