//! A fence and how it is to be built, in the address of the form that begins with it.

use selion_core::document::ids::FenceId;

use super::FenceTyped;
use crate::plain::typed::escaped;

/// The fields that travel in an address.
const FIELDS: [&str; 9] = [
    "kind",
    "height",
    "in_ground",
    "spacing",
    "roll",
    "ties",
    "rate",
    "own_time",
    "own_length",
];

/// The address of the form for a new order that begins with this fence.
pub fn order_address(fence: FenceId, typed: &FenceTyped) -> String {
    address("/order/new", fence, typed)
}

/// The address of the form for a shared job that begins with this fence.
pub fn job_address(fence: FenceId, typed: &FenceTyped) -> String {
    address("/job/new", fence, typed)
}

fn address(place: &str, fence: FenceId, typed: &FenceTyped) -> String {
    let mut address = format!("{place}?from=fence&fence={fence}");
    for (name, value) in FIELDS.into_iter().zip(typed.values()) {
        if !value.trim().is_empty() {
            address.push('&');
            address.push_str(name);
            address.push('=');
            address.push_str(&escaped(value.trim()));
        }
    }
    address
}

/// The fence and the form that an address names; `get` gives what stands behind a name in it.
pub fn from_address(get: impl Fn(&str) -> Option<String>) -> Option<(FenceId, FenceTyped)> {
    if get("from").as_deref() != Some("fence") {
        return None;
    }
    let fence = get("fence")?.parse().ok()?;
    let [
        kind,
        height,
        in_ground,
        spacing,
        roll,
        ties,
        rate,
        own_time,
        own_length,
    ] = FIELDS.map(|name| get(name).unwrap_or_default());
    let typed = FenceTyped {
        kind,
        height,
        in_ground,
        spacing,
        roll,
        ties,
        rate,
        own_time,
        own_length,
    };
    Some((fence, typed))
}

impl FenceTyped {
    fn values(&self) -> [&str; 9] {
        [
            &self.kind,
            &self.height,
            &self.in_ground,
            &self.spacing,
            &self.roll,
            &self.ties,
            &self.rate,
            &self.own_time,
            &self.own_length,
        ]
    }
}

#[cfg(test)]
mod tests {
    use selion_core::quantities::Moment;

    use super::super::tests::typed;
    use super::*;

    #[test]
    fn the_form_travels_in_the_address() {
        let fence = FenceId::fresh(Moment::from_millis(1), [7; 10]);
        let typed = FenceTyped {
            spacing: "12 ft & ½".into(),
            ..typed()
        };
        let address = order_address(fence, &typed);
        let (place, query) = address.split_once('?').unwrap();
        assert_eq!(place, "/order/new");
        assert!(query.is_ascii() && !query.contains(' '));
        let get = |name: &str| {
            let pair = query
                .split('&')
                .find_map(|pair| pair.strip_prefix(&format!("{name}=")))?;
            let mut bytes = Vec::new();
            let mut rest = pair.bytes();
            while let Some(byte) = rest.next() {
                if byte == b'%' {
                    let hex = [rest.next()?, rest.next()?];
                    bytes.push(u8::from_str_radix(std::str::from_utf8(&hex).ok()?, 16).ok()?);
                } else {
                    bytes.push(byte);
                }
            }
            String::from_utf8(bytes).ok()
        };
        assert_eq!(from_address(get), Some((fence, typed)));
        assert_eq!(from_address(|_| None), None);
    }
}
