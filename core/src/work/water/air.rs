//! Vapour, pressure and wind of the air (FAO-56, chapter 3), in kPa, °C and m/s, for [`super::evaporation`] alone.

/// The vapour that air of this temperature can hold (Eq. 11).
pub(super) fn saturation(celsius: f64) -> f64 {
    0.6108 * (17.27 * celsius / (celsius + 237.3)).exp()
}

/// How fast that grows with the temperature, kPa a degree (Eq. 13).
pub(super) fn slope(celsius: f64) -> f64 {
    4_098.0 * saturation(celsius) / (celsius + 237.3).powi(2)
}

/// The psychrometric constant at a height above the sea in metres, kPa a degree (Eqs 7 and 8).
pub(super) fn psychrometric(metres: f64) -> f64 {
    0.000_665 * 101.3 * ((293.0 - 0.0065 * metres) / 293.0).powf(5.26)
}

/// Wind at 2 m from wind measured at another height, in metres (Eq. 47).
pub(super) fn wind_at_two_metres(speed: f64, metres: f64) -> f64 {
    speed * 4.87 / (67.8 * metres - 5.42).ln()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn close(came: f64, printed: f64, within: f64) {
        assert!((came - printed).abs() <= within, "{came} is not {printed}");
    }

    #[test]
    fn printed_values() {
        // FAO-56, Ex. 17, 18 and 20: slopes and constants; wind of 10 km/h at 10 m.
        close(slope(30.2), 0.246, 0.0005);
        close(slope(16.9), 0.122, 0.0005);
        close(psychrometric(2.0), 0.0674, 0.0001);
        close(psychrometric(100.0), 0.0666, 0.0001);
        close(wind_at_two_metres(10.0 / 3.6, 10.0), 2.078, 0.001);
        close(wind_at_two_metres(3.0, 2.0), 3.0, 0.01);
    }
}
