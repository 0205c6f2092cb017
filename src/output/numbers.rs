//! Numbers as content streams have them: short, and quickly written.

/// Writes a number to three decimals, without zeros at its end.
pub(super) fn thousandths(out: &mut String, value: f64) {
    #[expect(clippy::cast_possible_truncation, reason = "lengths on paper are far from the limit")]
    let value = (value * 1000.0).round() as i64;
    if value < 0 {
        out.push('-');
    }
    let value = value.unsigned_abs();
    whole(out, value / 1000);
    let rest = value % 1000;
    if rest > 0 {
        out.push('.');
        for (place, digit) in [100, 10, 1].map(|unit| (unit, rest / unit % 10)) {
            if !rest.is_multiple_of(place * 10) {
                out.push(char::from(b'0' + u8::try_from(digit).unwrap_or_default()));
            }
        }
    }
}

/// Writes a whole number.
pub(super) fn whole(out: &mut String, value: u64) {
    let mut digits = [0; 20];
    let mut start = digits.len();
    let mut rest = value;
    loop {
        start -= 1;
        digits[start] = b'0' + u8::try_from(rest % 10).unwrap_or_default();
        rest /= 10;
        if rest == 0 {
            break;
        }
    }
    out.extend(digits[start..].iter().map(|digit| char::from(*digit)));
}

/// Writes four hexadecimal digits.
pub(super) fn hexadecimal(out: &mut String, value: u16) {
    for shift in [12, 8, 4, 0] {
        out.push(char::from(b"0123456789ABCDEF"[usize::from(value >> shift & 15)]));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_as_short_as_they_can_be() {
        let cases = [
            (0.0, "0"),
            (-0.0001, "0"),
            (12.0, "12"),
            (-3.5, "-3.5"),
            (0.01, "0.01"),
            (-0.105, "-0.105"),
            (612.001, "612.001"),
            (99.9996, "100"),
        ];
        for (value, expected) in cases {
            let mut out = String::new();
            thousandths(&mut out, value);
            assert_eq!(out, expected, "{value}");
        }
        let mut out = String::new();
        hexadecimal(&mut out, 0x0AF9);
        assert_eq!(out, "0AF9");
    }
}
