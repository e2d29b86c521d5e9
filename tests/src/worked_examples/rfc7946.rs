//! The examples of RFC 7946, The GeoJSON Format (August 2016), and the accuracy of the plane that degrees are laid on.

use geo::{Distance, Geodesic, Point as Place};
use proptest::prelude::*;
use selion_core::exchange::geojson::{read, write};
use selion_core::geometry::Point;
use selion_core::quantities::{Area, Length};

/// Section 1.5: a collection of a point, a line and a polygon.
const SECTION_1_5: &str = r#"{
    "type": "FeatureCollection",
    "features": [{
        "type": "Feature",
        "geometry": { "type": "Point", "coordinates": [102.0, 0.5] },
        "properties": { "prop0": "value0" }
    }, {
        "type": "Feature",
        "geometry": { "type": "LineString", "coordinates": [[102.0, 0.0], [103.0, 1.0], [104.0, 0.0], [105.0, 1.0]] },
        "properties": { "prop0": "value0", "prop1": 0.0 }
    }, {
        "type": "Feature",
        "geometry": {
            "type": "Polygon",
            "coordinates": [[[100.0, 0.0], [101.0, 0.0], [101.0, 1.0], [100.0, 1.0], [100.0, 0.0]]]
        },
        "properties": { "prop0": "value0", "prop1": { "this": "that" } }
    }]
}"#;

/// Appendix A.3, with holes.
const WITH_HOLES: &str = r#"{
    "type": "Polygon",
    "coordinates": [
        [[100.0, 0.0], [101.0, 0.0], [101.0, 1.0], [100.0, 1.0], [100.0, 0.0]],
        [[100.8, 0.8], [100.8, 0.2], [100.2, 0.2], [100.2, 0.8], [100.8, 0.8]]
    ]
}"#;

/// The same geometry as the ground of a garden, its numbers in metres.
fn in_local_metres(geometry: &str) -> String {
    format!(
        r#"{{"type":"FeatureCollection","coordinate_system":"local_metres","features":[
            {{"type":"Feature","properties":null,"geometry":{geometry}}}]}}"#
    )
}

#[test]
fn the_point_of_section_1_5_is_no_ground() {
    let refusal = read(SECTION_1_5).unwrap_err().to_string();
    assert_eq!(
        refusal,
        "feature 1, geometry: expected a Polygon, or a LineString for a fence line, but “Point” came."
    );
}

#[test]
fn the_rest_of_section_1_5_is_ground_in_metres() {
    let mut collection: serde_json::Value = serde_json::from_str(SECTION_1_5).unwrap();
    collection["features"].as_array_mut().unwrap().remove(0);
    let degrees = read(&collection.to_string()).unwrap_err().to_string();
    assert!(
        degrees.starts_with("feature 1, line: expected points within 10 km"),
        "{degrees}"
    );

    collection["coordinate_system"] = "local_metres".into();
    let ground = read(&collection.to_string()).unwrap();
    // Three runs of √2 m, and a square metre.
    assert_eq!(ground.fences[0].line.length(), Length::from_mm(3 * 1_414));
    assert_eq!(ground.beds[0].outline.area(), Area::from_mm2(1_000_000));
    assert_eq!(
        ground.beds[0].label, "Bed 2",
        "unknown properties are left alone"
    );
    assert_eq!(read(&write(&ground)), Ok(ground));
}

#[test]
fn the_polygon_of_appendix_a_3_keeps_its_hole() {
    let bed = &read(&in_local_metres(WITH_HOLES)).unwrap().beds[0];
    assert_eq!(bed.outline.area(), Area::from_mm2(1_000_000 - 360_000));
    assert!(bed.outline.contains(Point::from_mm(100_100, 100)));
    assert!(!bed.outline.contains(Point::from_mm(100_500, 500)));
}

#[test]
fn rings_are_read_either_way_round_and_written_by_the_right_hand_rule() {
    // Section 3.1.6: the outer ring runs against the clock, holes with it; parsers should not refuse the other way round.
    let right = read(&in_local_metres(WITH_HOLES)).unwrap();
    let mut reversed: serde_json::Value = serde_json::from_str(WITH_HOLES).unwrap();
    for ring in reversed["coordinates"].as_array_mut().unwrap() {
        ring.as_array_mut().unwrap().reverse();
    }
    assert_eq!(
        read(&in_local_metres(&reversed.to_string())).unwrap(),
        right
    );
    let written: serde_json::Value = serde_json::from_str(&write(&right)).unwrap();
    let expected: serde_json::Value = serde_json::from_str(WITH_HOLES).unwrap();
    assert_eq!(written["features"][0]["geometry"], expected);
}

proptest! {
    /// The judge: geodesics on the ellipsoid after C. Karney, *Algorithms for geodesics*, Journal of Geodesy 87 (2013), as
    /// in the library `geo`.
    #[test]
    fn within_200_m_degrees_are_good_to_the_centimetre(
        longitude in -180.0..180.0_f64,
        latitude in -60.0..60.0_f64,
        east in -0.0017..0.0017_f64,
        north in -0.0017..0.0017_f64,
    ) {
        let (there_x, there_y) = (longitude + east, latitude + north);
        let exact = Geodesic.distance(Place::new(longitude, latitude), Place::new(there_x, there_y));
        prop_assume!((1.0..200.0).contains(&exact) && there_x.abs() <= 180.0);
        let geometry = format!(r#"{{"type":"LineString","coordinates":[[{longitude:?},{latitude:?}],[{there_x:?},{there_y:?}]]}}"#);
        let line = &read(&geometry).unwrap().fences[0].line;
        let off = (super::areas::number(line.length().mm()) / 1_000.0 - exact).abs();
        prop_assert!(off < 0.012, "{off} m over {exact} m");
    }
}
