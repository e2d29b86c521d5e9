//! How much organic nitrogen is set free in the first, second and third year, and how much ammonia goes off.

use serde::Serialize;

use crate::quantities::Percent;

/// Whose shares of organic nitrogen, for which manure. "Dry" is 18 % dry matter and more.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Release {
    /// Cornell: cattle and sheep, below 18 % dry matter.
    CornellCattleWet,
    /// Cornell: cattle and sheep, 18 % dry matter and more.
    CornellCattleDry,
    /// Cornell: horses, below 18 % dry matter.
    CornellHorseWet,
    /// Cornell: horses, 18 % dry matter and more.
    CornellHorseDry,
    /// Cornell: poultry.
    CornellPoultry,
    /// Alberta: fresh manure of any kind.
    AlbertaFresh,
    /// Alberta: composted manure.
    AlbertaComposted,
    /// Oklahoma: any manure.
    OklahomaGeneral,
}

impl Release {
    /// Every set, with its name in a case.
    pub const ALL: [(&'static str, Self); 8] = [
        ("cornell-cattle-wet", Self::CornellCattleWet),
        ("cornell-cattle-dry", Self::CornellCattleDry),
        ("cornell-horse-wet", Self::CornellHorseWet),
        ("cornell-horse-dry", Self::CornellHorseDry),
        ("cornell-poultry", Self::CornellPoultry),
        ("alberta-fresh", Self::AlbertaFresh),
        ("alberta-composted", Self::AlbertaComposted),
        ("oklahoma-general", Self::OklahomaGeneral),
    ];

    /// What is set free in the first, second and third year, k1, k2 and k3.
    pub fn shares(self) -> [Percent; 3] {
        let percent = match self {
            Self::CornellCattleWet => [35, 12, 5],
            Self::CornellCattleDry | Self::CornellHorseDry => [25, 12, 5],
            Self::CornellHorseWet => [30, 12, 5],
            Self::CornellPoultry => [55, 12, 5],
            Self::AlbertaFresh => [25, 13, 6],
            Self::AlbertaComposted => [12, 7, 4],
            Self::OklahomaGeneral => [50, 15, 6],
        };
        percent.map(|whole| Percent::from_hundredths(whole * 100))
    }

    /// Who printed it.
    pub fn source(self) -> &'static str {
        match self {
            Self::CornellCattleWet
            | Self::CornellCattleDry
            | Self::CornellHorseWet
            | Self::CornellHorseDry
            | Self::CornellPoultry => "Cornell css412, release of organic nitrogen [compost S71]",
            Self::AlbertaFresh | Self::AlbertaComposted => {
                "Alberta Nutrient Management Planning Guide, p. 168 [compost S72]"
            }
            Self::OklahomaGeneral => "Oklahoma State University, H. Zhang [compost S73]",
        }
    }
}

/// How soon after spreading manure is dug in.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum DugInAfter {
    /// Put straight below the surface.
    AtOnceBelow,
    /// Within so many days; up to 1 counts as one, from the sixth on as never.
    Days(u16),
    /// Left on the surface.
    Never,
}

impl DugInAfter {
    /// How much of the ammonium is lost by then (S76).
    pub fn loss(self) -> Percent {
        let whole = match self {
            Self::AtOnceBelow => 0,
            Self::Days(0 | 1) => 20,
            Self::Days(2) => 50,
            Self::Days(3) => 60,
            Self::Days(4) => 70,
            Self::Days(5) => 80,
            Self::Days(6..) | Self::Never => 100,
        };
        Percent::from_hundredths(whole * 100)
    }

    /// As people say it.
    pub fn words(self) -> String {
        match self {
            Self::AtOnceBelow => "put below the surface at once".to_owned(),
            Self::Days(0 | 1) => "dug in within a day".to_owned(),
            Self::Days(days) => format!("dug in after {days} days"),
            Self::Never => "left on the surface".to_owned(),
        }
    }
}
