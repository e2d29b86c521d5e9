//! The take-off of a fence of mesh or woven wire: posts by kind, how long they are, mesh, ties.
//!
//! Each piece by itself: `sections = ⌈length / distance⌉`, `line posts = sections − 1`. Then the corner, end and gate posts, and
//! at each end of each piece one brace post (single H) or two (double H): two to a corner, one to a gate post or an end. Posts
//! are longer than the fence is high by what stands in the ground. Dividing the whole way round by the distance counts too few
//! wherever a side is not a multiple of it.
//!
//! ```
//! use selion_core::quantities::{Length, Units};
//! use selion_core::work::fence::posts::{FenceCase, take_off};
//! use selion_core::work::fence::{Layout, kinds};
//!
//! let layout = Layout::measured(&[Length::parse("75 ft")?], false, &[])?;
//! let mut case = FenceCase::of(layout, Units::UsCustomary);
//! case.kind = Some(kinds::find("deer, woven wire")?);
//! case.spacing = Some("8 ft".parse()?);
//! let answer = take_off(&case)?.result;
//! assert_eq!((answer.sections, answer.line_posts), (10, 9));
//! assert_eq!(answer.post_length.show(Units::UsCustomary), "11 ft");
//! # Ok::<(), selion_core::reckoning::Refusal>(())
//! ```

use std::fmt;

use serde::Serialize;

use super::kinds::FenceKind;
use super::layout::Layout;
use super::mesh::{Mesh, Roll, rolls_for};
use crate::quantities::exact::up;
use crate::quantities::{Length, Spacing, Units};
use crate::reckoning::{Caution, Reckoning, Refusal, Source, Step};

/// What a millimetre of rounding on the plan may add to a side, in micrometres: no post stands for it.
const SLACK: i128 = 1_000;
/// Taller fences often need a permit: 4 ft.
const OFTEN_REGULATED: Length = Length::from_mm(1_219);

/// How corners, ends and gate posts are held.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Bracing {
    /// Not at all, as where mesh is light.
    None,
    /// One more post and a rail.
    #[default]
    SingleH,
    /// Two more posts and rails.
    DoubleH,
}

impl Bracing {
    const fn posts(self) -> i64 {
        match self {
            Self::None => 0,
            Self::SingleH => 1,
            Self::DoubleH => 2,
        }
    }

    const fn words(self) -> &'static str {
        match self {
            Self::None => "no braces",
            Self::SingleH => "a single H at each end of a piece",
            Self::DoubleH => "a double H at each end of a piece",
        }
    }
}

/// A fence to be built. Values that are put in come before those of its kind.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FenceCase {
    /// Its pieces, corners and gates.
    pub layout: Layout,
    /// Against what, as printed.
    pub kind: Option<&'static FenceKind>,
    /// How high it stands.
    pub height: Option<Length>,
    /// How deep its posts stand.
    pub in_ground: Option<Length>,
    /// How far apart, at most.
    pub spacing: Option<Spacing>,
    /// How much of the mesh lies in or on the ground.
    pub foot: Option<Length>,
    /// How it is braced.
    pub bracing: Bracing,
    /// Staples, clips or ties on each post.
    pub ties_per_post: Option<i64>,
    /// The mesh, where it comes on rolls.
    pub roll: Option<Roll>,
    /// The garden's units.
    pub units: Units,
}

impl FenceCase {
    /// Of these pieces, with nothing chosen yet.
    pub fn of(layout: Layout, units: Units) -> Self {
        Self {
            layout,
            kind: None,
            height: None,
            in_ground: None,
            spacing: None,
            foot: None,
            bracing: Bracing::default(),
            ties_per_post: None,
            roll: None,
            units,
        }
    }
}

/// What a fence takes.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct TakeOff {
    /// All pieces together.
    pub fence: Length,
    /// Stretches between neighbouring posts.
    pub sections: i64,
    /// Posts between the ends of pieces.
    pub line_posts: i64,
    /// Posts where the line turns.
    pub corner_posts: i64,
    /// Posts where the line ends.
    pub end_posts: i64,
    /// Posts of gates.
    pub gate_posts: i64,
    /// Posts of braces.
    pub brace_posts: i64,
    /// All posts.
    pub posts: i64,
    /// How long each is, at least.
    pub post_length: Length,
    /// How wide the mesh is, foot and all.
    pub mesh_width: Length,
    /// Rolls of mesh.
    pub mesh: Option<Mesh>,
    /// Staples, clips or ties.
    pub ties: Option<i64>,
    /// The garden's units.
    pub units: Units,
}

impl fmt::Display for TakeOff {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        let length = self.post_length.show(self.units);
        write!(out, "{} posts of at least {length}", self.posts)?;
        if let Some(mesh) = &self.mesh {
            let width = self.mesh_width.show(self.units);
            write!(out, ", {} rolls of mesh {width} wide", mesh.rolls)?;
        }
        if let Some(ties) = self.ties {
            write!(out, ", {ties} ties")?;
        }
        Ok(())
    }
}

/// Counts what a fence takes.
pub fn take_off(case: &FenceCase) -> Result<Reckoning<TakeOff>, Refusal> {
    let units = case.units;
    let build = Build::of(case)?;
    let mut steps = Vec::new();
    let sections = count_sections(&case.layout, build.spacing, units, &mut steps)?;
    let layout = &case.layout;
    let pieces = i64::try_from(layout.pieces().len()).unwrap_or(0);
    let line_posts = sections - pieces;
    let brace_posts = 2 * pieces * case.bracing.posts();
    let posts = line_posts + layout.corners() + layout.ends() + layout.gate_posts() + brace_posts;
    let post_length = Length::from_mm(build.height.mm() + build.in_ground.mm());
    let mesh = case
        .roll
        .map(|roll| rolls_for(layout.pieces(), roll))
        .transpose()?;
    let ties = case.ties_per_post.map(|each| each.saturating_mul(posts));
    let counted = [
        ("Line posts", line_posts),
        ("Corner posts", layout.corners()),
        ("End posts", layout.ends()),
        ("Gate posts", layout.gate_posts()),
        ("Brace posts", brace_posts),
    ];
    steps.extend(counted.map(|(label, count)| Step::new(label, count.to_string())));
    steps.push(Step::sum("Posts", posts.to_string()));
    steps.push(Step::new(
        format!("Height{}", build.mark(case.height.is_some())),
        build.height.show(units),
    ));
    steps.push(Step::new(
        format!("In the ground{}", build.mark(case.in_ground.is_some())),
        build.in_ground.show(units),
    ));
    steps.push(Step::sum("Length of a post", post_length.show(units)));
    if let (Some(mesh), Some(roll)) = (&mesh, case.roll) {
        mesh_steps(mesh, roll, units, &mut steps);
    }
    if let (Some(each), Some(ties)) = (case.ties_per_post, ties) {
        steps.push(Step::new(format!("Ties, {each} a post"), ties.to_string()));
    }
    let result = TakeOff {
        fence: layout.fence(),
        sections,
        line_posts,
        corner_posts: layout.corners(),
        end_posts: layout.ends(),
        gate_posts: layout.gate_posts(),
        brace_posts,
        posts,
        post_length,
        mesh_width: Length::from_mm(build.height.mm() + build.foot.mm()),
        mesh,
        ties,
        units,
    };
    Ok(dressed(result, case, &build, steps))
}

/// The answer with what it rests on.
fn dressed(
    result: TakeOff,
    case: &FenceCase,
    build: &Build,
    steps: Vec<Step>,
) -> Reckoning<TakeOff> {
    let source = case.kind.map_or_else(
        || Source::arithmetic("Pieces, distances and depths as put in."),
        FenceKind::source,
    );
    let apart = build.spacing.show(case.units);
    let mut answer = Reckoning::new(result, source)
        .on(format!(
            "Posts at most {apart} apart{}, each piece by itself.",
            build.mark(case.spacing.is_some())
        ))
        .on(format!("Bracing: {}.", case.bracing.words()))
        .rounded("Sections and rolls up to whole ones; a millimetre of a piece needs no post.");
    answer.steps = steps;
    if let Some(kind) = case.kind {
        answer = answer.on(kind.remark);
    }
    if case.roll.is_some() {
        answer = answer.on(
            "What is left of a roll goes on with the next piece; gates bring their own covering.",
        );
    }
    if build.height > OFTEN_REGULATED {
        answer = answer.on("Heights of fences are limited in many places, and a tall one often needs a permit: ask first.");
    }
    answer.caution(Caution::Digging).caution(Caution::Lifting)
}

fn mesh_steps(mesh: &Mesh, roll: Roll, units: Units, steps: &mut Vec<Step>) {
    let wrap = roll.wrap.show(units);
    steps.push(Step::new(
        format!("Mesh, with {wrap} around each end"),
        mesh.needed.show(units),
    ));
    let overlap = roll.overlap.show(units);
    steps.push(Step::new(
        format!("{} joins of rolls, each", mesh.joins),
        overlap,
    ));
    let length = roll.length.show(units);
    steps.push(Step::sum(
        format!("Rolls of {length}"),
        mesh.rolls.to_string(),
    ));
    steps.push(Step::new("Left over", mesh.left_over.show(units)));
}

/// The values that a fence is built by.
struct Build {
    height: Length,
    in_ground: Length,
    spacing: Spacing,
    foot: Length,
    has_kind: bool,
}

impl Build {
    fn of(case: &FenceCase) -> Result<Self, Refusal> {
        let units = case.units;
        let kind = case.kind;
        let height = case.height.or(kind.and_then(|kind| kind.height));
        let in_ground = case.in_ground.or(kind.and_then(|kind| kind.in_ground));
        let spacing = case.spacing.or(kind.and_then(|kind| kind.spacing));
        let missing = |what: &str| Refusal::Missing {
            what: what.to_owned(),
            why: "no printed figure stands in for it, so put in the own one".to_owned(),
        };
        let build = Self {
            height: height.ok_or_else(|| missing("The height of the fence"))?,
            in_ground: in_ground.ok_or_else(|| missing("The depth of the posts"))?,
            spacing: spacing.ok_or_else(|| missing("The distance between posts"))?,
            foot: case.foot.or(kind.map(|kind| kind.foot)).unwrap_or_default(),
            has_kind: kind.is_some(),
        };
        let lengths = [
            ("height", build.height, Length::from_mm(100)),
            ("in_ground", build.in_ground, Length::ZERO),
            ("foot", build.foot, Length::ZERO),
        ];
        let most = Length::from_mm(6_000);
        for (field, length, least) in lengths {
            if !(least..=most).contains(&length) {
                let expected = format!("from {} to {}", least.show(units), most.show(units));
                return Err(Refusal::bad(field, expected, length.show(units)));
            }
        }
        if !(100_000..=50_000_000).contains(&build.spacing.micrometres()) {
            let came = build.spacing.show(units);
            return Err(Refusal::bad("spacing", "from 10 cm to 50 m", came));
        }
        if case
            .ties_per_post
            .is_some_and(|ties| !(0..=100).contains(&ties))
        {
            return Err(Refusal::bad(
                "ties_per_post",
                "from 0 to 100",
                "another number",
            ));
        }
        Ok(build)
    }

    /// Whose value it is, behind its label.
    fn mark(&self, own: bool) -> &'static str {
        match (own, self.has_kind) {
            (true, true) => ", own value",
            (true, false) | (false, _) => "",
        }
    }
}

fn count_sections(
    layout: &Layout,
    spacing: Spacing,
    units: Units,
    steps: &mut Vec<Step>,
) -> Result<i64, Refusal> {
    let mut all = 0_i64;
    for (number, piece) in (1..).zip(layout.pieces()) {
        let long = i128::from(piece.mm()) * 1_000 - SLACK;
        let sections = up(long, i128::from(spacing.micrometres()))
            .unwrap_or(1)
            .max(1);
        all = all.saturating_add(sections);
        steps.push(Step::new(
            format!("Piece {number}, {}", piece.show(units)),
            format!("{sections} sections"),
        ));
    }
    if all > 100_000 {
        return Err(Refusal::bad(
            "spacing",
            "a distance that gives at most 100000 sections",
            all.to_string(),
        ));
    }
    Ok(all)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::super::kinds;
    use super::*;

    fn straight(mm: i64) -> FenceCase {
        let layout = Layout::measured(&[Length::from_mm(mm)], false, &[]).unwrap();
        let mut case = FenceCase::of(layout, Units::Metric);
        case.kind = Some(kinds::find("deer, woven wire").unwrap());
        case
    }

    #[test]
    fn own_values_come_first_and_say_so() {
        let mut case = straight(60_000);
        case.in_ground = Some(Length::from_mm(1_200));
        case.ties_per_post = Some(6);
        let answer = take_off(&case).unwrap();
        let text = answer.to_string();
        assert!(text.contains("In the ground, own value"), "{text}");
        // 60 m at 6.096 m: ten sections, nine line posts, two ends, two braces.
        assert!(
            text.starts_with("13 posts of at least 3.64 m, 78 ties\n"),
            "{text}"
        );
        case.bracing = Bracing::DoubleH;
        assert_eq!(take_off(&case).unwrap().result.posts, 15);
        case.bracing = Bracing::None;
        assert_eq!(take_off(&case).unwrap().result.posts, 11);
    }

    #[test]
    fn what_nobody_printed_has_to_be_put_in() {
        let mut case = straight(60_000);
        case.kind = Some(kinds::find("deer, poly mesh").unwrap());
        let refused = take_off(&case).unwrap_err();
        assert_eq!(refused.code(), "missing");
        assert!(refused.to_string().starts_with("The depth of the posts"));
        case.in_ground = Some(Length::from_mm(600));
        assert!(
            take_off(&case)
                .unwrap_err()
                .to_string()
                .starts_with("The distance between posts")
        );
        case.kind = None;
        assert!(
            take_off(&case)
                .unwrap_err()
                .to_string()
                .starts_with("The height")
        );
    }

    #[test]
    fn senseless_values_are_refused_by_name() {
        let refused = |change: fn(&mut FenceCase)| {
            let mut case = straight(60_000);
            change(&mut case);
            take_off(&case).unwrap_err().to_string()
        };
        assert!(refused(|case| case.height = Some(Length::from_mm(7_000))).starts_with("height:"));
        assert!(
            refused(|case| case.in_ground = Some(Length::from_mm(-1))).starts_with("in_ground:")
        );
        assert!(refused(|case| case.foot = Some(Length::from_mm(-1))).starts_with("foot:"));
        assert!(refused(|case| case.spacing = Some(Spacing::ZERO)).starts_with("spacing:"));
        assert!(refused(|case| case.ties_per_post = Some(-1)).starts_with("ties_per_post:"));
    }

    #[test]
    fn feet_on_the_plan_give_the_sections_that_they_give_on_the_ground() {
        // 96 ft are 29260.8 mm, and 29261 on the plan; at 8 ft that is still twelve sections.
        let mut case = straight(Length::parse("96 ft").unwrap().mm());
        case.spacing = Some(Spacing::parse("8 ft").unwrap());
        assert_eq!(take_off(&case).unwrap().result.sections, 12);
    }

    proptest! {
        #[test]
        fn posts_stand_close_enough_and_none_is_idle(mm in 200_i64..2_000_000, spacing in 500_i64..10_000) {
            let mut case = straight(mm);
            case.spacing = Some(Spacing::from_micrometres(spacing * 1_000));
            let answer = take_off(&case).unwrap().result;
            prop_assert!(answer.sections * spacing >= mm - 1);
            prop_assert!((answer.sections - 1) * spacing < mm);
            prop_assert_eq!(answer.posts, answer.line_posts + answer.corner_posts + answer.end_posts + answer.gate_posts + answer.brace_posts);
        }
    }
}
