//! Every unit that is read or shown, with its exact size.
//!
//! The customary units are defined by the metric ones (international yard and pound agreement of 1959: 1 yd = 0.9144 m,
//! 1 lb = 0.45359237 kg); the US gallon is 231 cubic inches.

use super::fraction::Fraction;

/// One unit: what people write for it, and its size in the base unit of its measure as a fraction.
#[derive(Debug)]
pub(super) struct Unit {
    /// The first is the one that is shown.
    pub(super) names: &'static [&'static str],
    top: i128,
    bottom: i128,
}

impl Unit {
    const fn new(names: &'static [&'static str], top: i128, bottom: i128) -> Self {
        Self { names, top, bottom }
    }

    pub(super) fn size(&self) -> Fraction {
        Fraction::new(self.top, self.bottom).unwrap_or(Fraction::NOTHING)
    }

    pub(super) fn shown_as(&self) -> &'static str {
        self.names.first().copied().unwrap_or("")
    }
}

pub(super) const CENTIMETRE: Unit = Unit::new(
    &[
        "cm",
        "centimetres",
        "centimetre",
        "centimeters",
        "centimeter",
    ],
    10,
    1,
);
pub(super) const METRE: Unit = Unit::new(&["m", "metres", "metre", "meters", "meter"], 1_000, 1);
pub(super) const INCH: Unit = Unit::new(&["in", "inches", "inch", "\"", "″"], 254, 10);
pub(super) const FOOT: Unit = Unit::new(&["ft", "feet", "foot", "'", "′"], 3_048, 10);

/// Lengths, in millimetres.
pub(super) const LENGTHS: &[Unit] = &[
    Unit::new(
        &[
            "mm",
            "millimetres",
            "millimetre",
            "millimeters",
            "millimeter",
        ],
        1,
        1,
    ),
    CENTIMETRE,
    METRE,
    Unit::new(
        &["km", "kilometres", "kilometre", "kilometers", "kilometer"],
        1_000_000,
        1,
    ),
    INCH,
    FOOT,
    Unit::new(&["yd", "yards", "yard"], 9_144, 10),
];

pub(super) const SQUARE_METRE: Unit = Unit::new(
    &[
        "m²",
        "m2",
        "sq m",
        "square metres",
        "square metre",
        "square meters",
        "square meter",
    ],
    1_000_000,
    1,
);
pub(super) const SQUARE_FOOT: Unit = Unit::new(
    &["sq ft", "ft²", "ft2", "square feet", "square foot"],
    9_290_304,
    100,
);

/// Areas, in square millimetres.
pub(super) const AREAS: &[Unit] = &[
    Unit::new(&["mm²", "mm2", "sq mm"], 1, 1),
    Unit::new(&["cm²", "cm2", "sq cm"], 100, 1),
    SQUARE_METRE,
    Unit::new(&["ha", "hectares", "hectare"], 10_000_000_000, 1),
    Unit::new(
        &["sq in", "in²", "in2", "square inches", "square inch"],
        64_516,
        100,
    ),
    SQUARE_FOOT,
    Unit::new(
        &["sq yd", "yd²", "yd2", "square yards", "square yard"],
        83_612_736,
        100,
    ),
    Unit::new(&["acres", "acre", "ac"], 40_468_564_224, 10),
];

pub(super) const GRAM: Unit = Unit::new(&["g", "grams", "gram"], 1, 1);
pub(super) const KILOGRAM: Unit =
    Unit::new(&["kg", "kilograms", "kilogram", "kilos", "kilo"], 1_000, 1);
pub(super) const OUNCE: Unit = Unit::new(&["oz", "ounces", "ounce"], 28_349_523_125, 1_000_000_000);
pub(super) const POUND: Unit = Unit::new(&["lb", "lbs", "pounds", "pound"], 45_359_237, 100_000);

/// Masses, in grams. A `ton` is the short ton of 2000 lb; the metric one is written `t` or `tonne`.
pub(super) const MASSES: &[Unit] = &[
    GRAM,
    KILOGRAM,
    Unit::new(
        &["t", "tonnes", "tonne", "metric tons", "metric ton"],
        1_000_000,
        1,
    ),
    OUNCE,
    POUND,
    Unit::new(&["tons", "ton", "short tons", "short ton"], 90_718_474, 100),
];

pub(super) const MILLILITRE: Unit = Unit::new(
    &[
        "ml",
        "millilitres",
        "millilitre",
        "milliliters",
        "milliliter",
    ],
    1,
    1,
);
pub(super) const LITRE: Unit = Unit::new(&["l", "litres", "litre", "liters", "liter"], 1_000, 1);
pub(super) const CUBIC_METRE: Unit = Unit::new(
    &[
        "m³",
        "m3",
        "cubic metres",
        "cubic metre",
        "cubic meters",
        "cubic meter",
    ],
    1_000_000,
    1,
);
pub(super) const QUART: Unit = Unit::new(&["qt", "quarts", "quart"], 946_352_946, 1_000_000);
pub(super) const GALLON: Unit = Unit::new(&["gal", "gallons", "gallon"], 3_785_411_784, 1_000_000);
pub(super) const CUBIC_YARD: Unit = Unit::new(
    &["cu yd", "yd³", "yd3", "cubic yards", "cubic yard"],
    764_554_857_984,
    1_000_000,
);

/// Volumes, in millilitres.
pub(super) const VOLUMES: &[Unit] = &[
    MILLILITRE,
    LITRE,
    CUBIC_METRE,
    QUART,
    GALLON,
    Unit::new(
        &["cu ft", "ft³", "ft3", "cubic feet", "cubic foot"],
        28_316_846_592,
        1_000_000,
    ),
    CUBIC_YARD,
];

/// Spans of work, in minutes.
pub(super) const SPANS: &[Unit] = &[
    Unit::new(&["min", "minutes", "minute", "mins"], 1, 1),
    Unit::new(&["h", "hours", "hour", "hrs", "hr"], 60, 1),
];

pub(super) const METRE_A_SECOND: Unit = Unit::new(&["m/s"], 1_000, 1);
pub(super) const MILE_AN_HOUR: Unit = Unit::new(&["mph", "mi/h"], 44_704, 100);

/// Speeds of wind, in millimetres a second.
pub(super) const SPEEDS: &[Unit] = &[
    METRE_A_SECOND,
    Unit::new(&["km/h", "kmh"], 2_500, 9),
    MILE_AN_HOUR,
];

pub(super) const KILOPASCAL: Unit = Unit::new(&["kpa"], 1_000, 1);

/// Pressures of air and vapour, in pascals.
pub(super) const PRESSURES: &[Unit] = &[
    KILOPASCAL,
    Unit::new(&["hpa", "mbar"], 100, 1),
    Unit::new(&["pa"], 1, 1),
];

pub(super) const MEGAJOULE: Unit = Unit::new(&["mj/m²", "mj/m2"], 1_000_000, 1);

/// Radiation of a day, in joules on a square metre.
pub(super) const RADIATIONS: &[Unit] = &[
    MEGAJOULE,
    Unit::new(&["kwh/m²", "kwh/m2"], 3_600_000, 1),
    Unit::new(&["j/m²", "j/m2"], 1, 1),
];
