//! Longitude and latitude as millimetres on a flat plane around one point.
//!
//! The plane touches the WGS 84 ellipsoid at its origin; one degree is given the length that it has there (meridian and prime
//! vertical radius of curvature). Within 200 m of the origin this is off by at most some 1.1 cm up to 60° of latitude, and
//! the error grows with the square of the distance: 28 cm at 1 km. A tape measure in grass is no better.

use crate::geometry::Point;
use crate::quantities::BadInput;

/// The ellipsoid's radius at the equator, in metres (WGS 84).
const EQUATOR: f64 = 6_378_137.0;
/// The square of its eccentricity (WGS 84: f = 1/298.257223563, e² = f(2 − f)).
const ECCENTRICITY_SQUARED: f64 = 0.006_694_379_990_141_317;
/// Beyond this latitude nobody gardens, and a degree of longitude shrinks to nothing.
const HIGHEST_LATITUDE: f64 = 85.0;

/// How numbers of a file become points on the ground.
#[derive(Clone, Copy, Debug)]
pub(super) enum Projection {
    /// The file is in metres already.
    LocalMetres,
    /// The file is in degrees around this place.
    Around {
        longitude: f64,
        latitude: f64,
        /// Metres in a degree of longitude, at the origin.
        east: f64,
        /// Metres in a degree of latitude, at the origin.
        north: f64,
    },
}

impl Projection {
    /// A plane that touches the ground at this place, given in degrees.
    pub(super) fn around(longitude: f64, latitude: f64) -> Result<Self, BadInput> {
        check(longitude, latitude)?;
        let (sine, cosine) = latitude.to_radians().sin_cos();
        let flattened = ECCENTRICITY_SQUARED.mul_add(-sine * sine, 1.0);
        let across = EQUATOR / flattened.sqrt();
        let along = across * (1.0 - ECCENTRICITY_SQUARED) / flattened;
        let one_degree = 1.0_f64.to_radians();
        Ok(Self::Around {
            longitude,
            latitude,
            east: across * cosine * one_degree,
            north: along * one_degree,
        })
    }

    /// The point with these numbers of the file.
    pub(super) fn point(self, x: f64, y: f64) -> Result<Point, BadInput> {
        match self {
            Self::LocalMetres => Ok(Point::from_mm(millimetres(x), millimetres(y))),
            Self::Around {
                longitude,
                latitude,
                east,
                north,
            } => {
                check(x, y)?;
                // The short way round, should the ground lie on the date line.
                let turned = (x - longitude + 540.0).rem_euclid(360.0) - 180.0;
                Ok(Point::from_mm(
                    millimetres(turned * east),
                    millimetres((y - latitude) * north),
                ))
            }
        }
    }
}

fn check(longitude: f64, latitude: f64) -> Result<(), BadInput> {
    if longitude.abs() <= 180.0 && latitude.abs() <= HIGHEST_LATITUDE {
        return Ok(());
    }
    let expected = "longitude and latitude in degrees, or metres where the file says \"coordinate_system\": \"local_metres\"";
    Err(BadInput::new(
        "coordinates",
        expected,
        format!("{longitude}, {latitude}"),
    ))
}

fn millimetres(metres: f64) -> i64 {
    crate::geometry::whole(metres * 1_000.0)
}
