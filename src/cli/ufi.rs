//! `ufi`: makes a unique formula identifier from a company's number and a formulation number, or checks one.

use super::args::UfiArgs;
use super::{Answer, Stop};
use crate::find::Finding;
use crate::hazard::ufi::Ufi;
use serde_json::json;

/// Runs the command.
pub fn run(args: &UfiArgs) -> Result<Answer, Stop> {
    let ufi = match (&args.code, args.formulation) {
        (Some(code), _) => Ufi::decode(code),
        (None, Some(formulation)) => match (&args.country, &args.vat, &args.company_key) {
            (Some(country), Some(vat), _) => Ufi::of_vat(country, vat, formulation),
            (_, _, Some(key)) => Ufi::of_company_key(key, formulation),
            _ => Err(Finding::input(
                "ufi/number",
                "a UFI needs the number of a company",
                "give `--country` and `--vat`, or `--company-key`",
            )),
        },
        (None, None) => Err(Finding::input(
            "ufi/formulation",
            "a UFI needs the number of a formulation",
            "add `--formulation`, a number from 0 to 268435455 of your own choice, another for each composition; \
             or give a code to check",
        )),
    }
    .map_err(Stop::input)?;
    let company = ufi.company();
    if args.json {
        let key = if ufi.country().is_some() { "vat" } else { "company_key" };
        let value = json!({
            "ufi": ufi.to_string(), "country": ufi.country(), key: company, "formulation": ufi.formulation(),
        });
        return Ok(Answer::fine(format!("{value:#}\n")));
    }
    if args.code.is_none() {
        return Ok(Answer::fine(format!("UFI: {ufi}\n")));
    }
    let whose = match ufi.country() {
        Some("GB") => format!("VAT number {company} of Great Britain or Northern Ireland (GB, XN)"),
        Some(country) => format!("VAT number {country} {company}"),
        None => format!("company key {company}"),
    };
    Ok(Answer::fine(format!("UFI: {ufi}\n{whose}\nformulation {}\n", ufi.formulation())))
}
