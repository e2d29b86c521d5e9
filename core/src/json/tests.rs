//! Each kind of type in its form, what may be missing, and the way to what cannot be read.

#![expect(
    unreachable_pub,
    reason = "what the macros write is meant for public types"
)]

use super::*;
use crate::ordered::Map;

#[derive(Clone, Debug, Default, PartialEq)]
struct Shed {
    label: String,
    shelves: Map<i16, u32>,
    key_with: Option<String>,
}

record!(Shed { label, shelves = default, key_with });

#[derive(Clone, Copy, Debug, PartialEq)]
enum Door {
    Open,
    Shut,
}

words!(Door { "open" => Open, "shut" => Shut });

#[derive(Clone, Debug, PartialEq)]
enum Tool {
    Barrow,
    Rake(u16),
    Hose { metres: i64, coupling: String },
}

choice!(Tool { "barrow" => Barrow, "rake" => Rake(teeth), "hose" => Hose { metres, coupling = default } });

#[derive(Clone, Debug, PartialEq)]
enum Word {
    Built(Shed),
    Found { tool: Tool, door: Door },
    Quiet,
}

tagged!(Word by "word" { "built" => Built(shed), "found" => Found { tool, door }, "quiet" => Quiet });

#[test]
fn each_kind_of_type_has_its_form() {
    let shed = Shed {
        label: "North".to_owned(),
        shelves: Map::from([(2, 7)]),
        key_with: None,
    };
    let forms = [
        (
            Word::Built(shed),
            r#"{"key_with":null,"label":"North","shelves":{"2":7},"word":"built"}"#,
        ),
        (
            Word::Found {
                tool: Tool::Rake(14),
                door: Door::Open,
            },
            r#"{"door":"open","tool":{"rake":14},"word":"found"}"#,
        ),
        (
            Word::Found {
                tool: Tool::Hose {
                    metres: 25,
                    coupling: String::new(),
                },
                door: Door::Shut,
            },
            r#"{"door":"shut","tool":{"hose":{"coupling":"","metres":25}},"word":"found"}"#,
        ),
        (Word::Quiet, r#"{"word":"quiet"}"#),
    ];
    for (meant, text) in forms {
        assert_eq!(write(&meant), text);
        assert_eq!(read::<Word>(text), Ok(meant));
    }
    assert_eq!(write(&Tool::Barrow), r#""barrow""#);
    assert_eq!(read::<Tool>(r#""barrow""#), Ok(Tool::Barrow));
}

#[test]
fn what_may_be_missing_may_and_what_is_unknown_is_passed_over() {
    let shed: Shed = read(r#"{"label":"South","roof":"tin"}"#).unwrap();
    assert_eq!(shed.label, "South");
    assert_eq!((shed.shelves.len(), shed.key_with), (0, None));
}

#[test]
fn the_way_to_what_cannot_be_read_is_told() {
    let why = |text: &str| read::<Word>(text).unwrap_err().to_string();
    assert_eq!(why(r#"{"word":"built"}"#), "the field label is missing");
    assert_eq!(
        why(r#"{"word":"built","label":"N","shelves":{"2":-1}}"#),
        "shelves: 2: a whole number within its bounds was expected, but a number came"
    );
    assert_eq!(
        why(r#"{"word":"found","tool":{"rake":1},"door":"ajar"}"#),
        "door: one of the known words was expected, but “ajar” came"
    );
    assert_eq!(
        why(r#"{"word":"sung"}"#),
        "“sung” is none of the known words"
    );
    assert!(why("{").contains("at character 2"), "{}", why("{"));
}
