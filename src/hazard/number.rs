//! Numbers that name a substance, CAS and EC, with their check digits; beneath `mixture`.

/// Whether the check digit of a CAS number fits: the last digit is the sum of the others, each times its place from the
/// right, modulo 10.
///
/// ```
/// use waxbill::hazard::cas_holds;
/// assert!(cas_holds("78-70-6"));
/// assert!(!cas_holds("78-70-7"));
/// ```
#[must_use]
pub fn cas_holds(text: &str) -> bool {
    let parts: Vec<&str> = text.split('-').collect();
    let [first, second, check] = parts.as_slice() else { return false };
    if !(2..=7).contains(&first.len()) || second.len() != 2 || check.len() != 1 || !only_digits(text) {
        return false;
    }
    let sum: u32 =
        format!("{first}{second}").bytes().rev().zip(1..).map(|(b, place)| u32::from(b - b'0') * place).sum();
    check.bytes().all(|b| u32::from(b - b'0') == sum % 10)
}

/// Whether the check digit of an EC number (`201-134-4`) fits: the last digit is the sum of the others, each times its
/// place from the left, modulo 11 (from memory: where that gives ten, the digit is 1).
///
/// ```
/// use waxbill::hazard::ec_holds;
/// assert!(ec_holds("201-134-4"));
/// assert!(!ec_holds("201-134-5"));
/// ```
#[must_use]
pub fn ec_holds(text: &str) -> bool {
    let parts: Vec<&str> = text.split('-').collect();
    let [first, second, check] = parts.as_slice() else { return false };
    if first.len() != 3 || second.len() != 3 || check.len() != 1 || !only_digits(text) {
        return false;
    }
    let sum: u32 = format!("{first}{second}").bytes().zip(1..).map(|(b, place)| u32::from(b - b'0') * place).sum();
    let due = if sum % 11 == 10 { 1 } else { sum % 11 };
    check.bytes().all(|b| u32::from(b - b'0') == due)
}

fn only_digits(text: &str) -> bool {
    text.bytes().all(|b| b.is_ascii_digit() || b == b'-')
}

#[cfg(test)]
mod tests {
    use super::{cas_holds, ec_holds};

    /// Entries of Annex VI to Regulation (EC) 1272/2008: linalool, citral, d-limonene.
    #[test]
    fn check_digits_of_known_substances() {
        for good in ["78-70-6", "5392-40-5", "5989-27-5"] {
            assert!(cas_holds(good), "{good}");
        }
        for bad in ["78-70-7", "5392-41-5", "1-2", "", "78706", "७8-70-6"] {
            assert!(!cas_holds(bad), "{bad}");
        }
        for good in ["201-134-4", "226-394-6", "227-813-5", "214-946-9"] {
            assert!(ec_holds(good), "{good}");
        }
        for bad in ["201-134-5", "201-143-4", "201134-4", "", "२01-134-4", "78-70-6"] {
            assert!(!ec_holds(bad), "{bad}");
        }
    }
}
