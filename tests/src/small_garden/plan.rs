//! Edits of the drawn ground and of what is planned on it.

use selion_core::document::edit::{
    AcceptedTask, FenceField, JobField, NewHarvest, NewPlanting, OrderField, Piece, PlantingField,
    ProfileField, Reading, StructureField,
};
use selion_core::document::records::{
    Backdrop, GardenCrop, GardenFrost, Harvest, HarvestUnit, Number, PlantingRows, PlantingState,
    Recipient, RecipientKind, StartsAs, StructureFacts, StructureKind,
};
use selion_core::document::{DocumentName, Edit};
use selion_core::geometry::{Line, Outline, Point};
use selion_core::ordered::Map;
use selion_core::quantities::{Depth, Latitude, Length, Minutes, Spacing, Temperature};

use super::every_edit::{day, rectangle};
use super::{GROUND, LEDGER, SEASON, SmallGarden, YEAR, ids, ines};

/// Every edit of what is drawn, each of which stands in the small garden.
pub(super) fn of_the_drawing() -> Vec<(DocumentName, Edit)> {
    let ground = of_the_drawn_ground().into_iter();
    ground.map(|edit| (GROUND, edit)).collect()
}

/// Fields that came later to edits that were there before.
pub(super) fn of_later_fields() -> Vec<(DocumentName, Edit)> {
    let backdrop = Backdrop {
        picture: ids::picture(1),
        corner: Point::from_mm(-1_500, 12_000),
        across: Length::from_mm(24_000),
        turned: 1_250,
        wide: 1_600,
        high: 1_200,
        shows: 50,
    };
    let tree = StructureFacts {
        kind: StructureKind::Tree,
        height: Some(Length::from_mm(5_500)),
        ..StructureFacts::default()
    };
    let fence = Some(ids::fence(1));
    vec![
        (
            GROUND,
            Edit::ChangeProfile {
                set: vec![ProfileField::Backdrop(Some(backdrop))],
            },
        ),
        (
            GROUND,
            Edit::ChangeStructure {
                structure: ids::structure(1),
                set: vec![StructureField::What(tree)],
            },
        ),
        (
            SEASON,
            Edit::ChangeJob {
                job: ids::job(1),
                set: vec![JobField::Fence(fence)],
            },
        ),
        (
            LEDGER,
            Edit::ChangeOrder {
                order: ids::order(1),
                set: vec![OrderField::Fence(fence)],
            },
        ),
    ]
}

/// Every edit of what is planned and noted.
pub(super) fn of_the_plan() -> Vec<(DocumentName, Edit)> {
    let ground = of_the_lists().into_iter().map(|edit| (GROUND, edit));
    let season = of_the_plantings().into_iter().chain(of_the_year());
    ground.chain(season.map(|edit| (SEASON, edit))).collect()
}

impl SmallGarden {
    /// Two sowings of carrots in the common bed, somebody who is given of the harvest, and a reading of the gauge.
    pub(super) fn plan(&mut self) {
        let record = Recipient {
            name: "The Ferry Lane pantry".to_owned(),
            ..Recipient::default()
        };
        let recipient = ids::recipient(1);
        self.does(ines(), GROUND, Edit::KeepRecipient { recipient, record });
        let plantings = Map::from([
            (ids::planting(1), carrots(3, "2026-04-20")),
            (ids::planting(2), carrots(3, "2026-05-18")),
        ]);
        let series = Some(ids::series(1));
        self.does(ines(), SEASON, Edit::Plant { plantings, series });
        let readings = Map::from([(ids::weather(1), reading("2026-04-10"))]);
        self.does(ines(), SEASON, Edit::NoteWeather { readings });
        self.does(ines(), SEASON, aside(90, 2));
    }
}

/// Carrots all over a bed, sown on this day.
pub(crate) fn carrots(bed: u8, start: &str) -> NewPlanting {
    NewPlanting {
        bed: ids::bed(bed),
        crop: "carrot".to_owned(),
        cover: false,
        part: None,
        rows: PlantingRows::default(),
        start: day(start),
        starts_as: StartsAs::Sown,
        first_picking: None,
        last_picking: None,
        word: String::new(),
    }
}

/// Thinning is not wanted this time.
fn aside(task: u8, planting: u8) -> Edit {
    Edit::SetProposalAside {
        task: ids::task(task),
        accepted: AcceptedTask {
            key: format!("thin:{}", ids::planting(planting)),
            title: "Thin carrot".to_owned(),
            bed: Some(ids::bed(3)),
            day: day("2026-05-11"),
            places: 2,
            minutes: Minutes::new(45),
        },
        on: day("2026-05-02"),
    }
}

fn reading(on: &str) -> Reading {
    Reading {
        day: day(on),
        rain: Some(Depth::from_micrometres(12_700)),
        coldest: Some(Temperature::from_millicelsius(4_000)),
        warmest: Some(Temperature::from_millicelsius(17_500)),
        gauge: "By the shed".to_owned(),
    }
}

fn of_the_lists() -> Vec<Edit> {
    let frost = GardenFrost {
        chance: 20,
        spring: Map::from([
            (Number::from(10), "05-11".to_owned()),
            (Number::from(50), "04-27".to_owned()),
        ]),
        fall: Map::from([
            (Number::from(10), "10-03".to_owned()),
            (Number::from(50), "10-15".to_owned()),
        ]),
        station: "Albany".to_owned(),
    };
    vec![
        Edit::ChangeProfile {
            set: vec![
                ProfileField::Latitude(Some(Latitude::from_millidegrees(42_750))),
                ProfileField::Frost(Some(frost)),
                ProfileField::Accept(Map::from([("sow".to_owned(), true)])),
            ],
        },
        Edit::CloseYear { year: YEAR - 1 },
        Edit::KeepCrop {
            crop: ids::crop(9),
            record: GardenCrop {
                name: "Skirret".to_owned(),
                cover: false,
                values: Map::from([("days".to_owned(), "180".to_owned())]),
                ended_on: None,
            },
        },
        Edit::KeepRecipient {
            recipient: ids::recipient(9),
            record: Recipient {
                name: "Next door".to_owned(),
                kind: RecipientKind::Neighbour,
                word: "Over the fence, before noon".to_owned(),
                ended_on: None,
            },
        },
    ]
}

fn of_the_plantings() -> Vec<Edit> {
    let new = NewPlanting {
        crop: "cereal rye".to_owned(),
        cover: true,
        part: Some(rectangle(0, 0, 3_000, 1_200)),
        rows: PlantingRows {
            along: Some(1),
            between: Some(Spacing::from_micrometres(200_000)),
            in_row: Some(Spacing::from_micrometres(20_000)),
        },
        first_picking: None,
        last_picking: Some(day("2026-11-20")),
        word: "Rake in".to_owned(),
        ..carrots(1, "2026-09-20")
    };
    vec![
        Edit::Plant {
            plantings: Map::from([(ids::planting(9), new)]),
            series: Some(ids::series(9)),
        },
        Edit::ChangePlanting {
            planting: ids::planting(1),
            set: vec![
                PlantingField::Bed(ids::bed(3)),
                PlantingField::Crop("beet".to_owned()),
                PlantingField::Part(Some(rectangle(0, 6_000, 2_000, 2_000))),
                PlantingField::Rows(PlantingRows::default()),
                PlantingField::Start(day("2026-04-27")),
                PlantingField::StartsAs(StartsAs::Set),
                PlantingField::FirstPicking(Some(day("2026-07-01"))),
                PlantingField::LastPicking(Some(day("2026-07-31"))),
                PlantingField::Series(None),
                PlantingField::Word("Round ones".to_owned()),
                PlantingField::EndedOn(None),
            ],
        },
        Edit::MoveSeries {
            series: ids::series(1),
            days: -3,
        },
        Edit::MarkPlanting {
            planting: ids::planting(1),
            state: PlantingState::Standing,
            on: day("2026-04-22"),
        },
    ]
}

fn of_the_year() -> Vec<Edit> {
    vec![
        Edit::AcceptProposal {
            task: ids::task(12),
            accepted: AcceptedTask {
                key: format!("sow:{}", ids::planting(1)),
                title: "Sow carrot".to_owned(),
                bed: Some(ids::bed(3)),
                day: day("2026-04-20"),
                places: 1,
                minutes: Minutes::new(40),
            },
        },
        Edit::LogHarvest {
            picking: ids::picking(12),
            harvest: NewHarvest {
                bed: ids::bed(3),
                day: day("2026-07-08"),
                crop: "carrot".to_owned(),
                planting: Some(ids::planting(1)),
                parts: Harvest {
                    unit: HarvestUnit::Bunches,
                    kept: 400,
                    shared: 300,
                    given: Map::from([(ids::recipient(1), 1_200)]),
                    given_otherwise: 100,
                    lost: 50,
                },
                turn: Some(ids::turn(1)),
                word: "Forked ones".to_owned(),
            },
        },
        Edit::NoteWeather {
            readings: Map::from([(ids::weather(9), reading("2026-04-11"))]),
        },
        Edit::StrikeWeather {
            reading: ids::weather(1),
            on: day("2026-04-12"),
        },
        aside(13, 1),
        Edit::ProposeAgain {
            task: ids::task(90),
            on: day("2026-05-03"),
        },
    ]
}

fn of_the_drawn_ground() -> Vec<Edit> {
    let tree = StructureFacts {
        kind: StructureKind::Tree,
        facing: Some(30),
        reach: Some(Length::from_mm(6_500)),
        fall: None,
        height: None,
    };
    let fence = vec![Point::from_mm(0, 30_500), Point::from_mm(20_000, 30_500)];
    vec![
        Edit::SplitBed {
            bed: ids::bed(3),
            seen: rectangle(0, 6_000, 10_000, 2_000),
            outline: rectangle(0, 6_000, 6_000, 2_000),
            pieces: Map::from([(
                ids::bed(10),
                Piece {
                    label: "C2".to_owned(),
                    outline: rectangle(6_000, 6_000, 4_000, 2_000),
                },
            )]),
        },
        Edit::MergeBeds {
            bed: ids::bed(2),
            seen: rectangle(0, 3_000, 8_000, 1_200),
            with: ids::bed(1),
            seen_with: rectangle(0, 0, 6_000, 1_200),
            outline: rectangle(0, 2_100, 8_000, 2_100),
            holders: Map::from([(ids::member(2), 1), (ids::member(4), 1)]),
            on: day("2026-11-02"),
        },
        Edit::DrawStructure {
            structure: ids::structure(10),
            label: "Old plum".to_owned(),
            outline: Outline::circle(Point::from_mm(25_000, 10_000), Length::from_mm(800)).unwrap(),
            what: tree,
        },
        Edit::ChangeStructure {
            structure: ids::structure(1),
            set: vec![
                StructureField::Label("Tool shed".to_owned()),
                StructureField::Outline(rectangle(15_000, 0, 3_000, 2_400)),
                StructureField::What(StructureFacts {
                    kind: StructureKind::Building,
                    ..StructureFacts::default()
                }),
                StructureField::EndedOn(None),
            ],
        },
        Edit::ChangeFenceLine {
            fence: ids::fence(1),
            set: vec![
                FenceField::Label("North fence, moved out".to_owned()),
                FenceField::Line(Line::new(fence).unwrap()),
                FenceField::Gates(Map::new()),
                FenceField::EndedOn(None),
            ],
        },
    ]
}
