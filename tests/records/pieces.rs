//! What is counted and not weighed: wicks, vessels, lids and label stock, by lot.

use crate::shop::Shop;
use std::fs;

/// Twenty-four jars with two wicks and one label each; by hand: 30 wicks of the first lot end in the fifteenth jar.
#[test]
fn wicks_lids_and_labels_are_drawn_by_lot_like_what_is_weighed() {
    let shop = Shop::stocked();
    let file = |name: &str, text: &str| fs::write(shop.path(name), text).unwrap();
    file("materials/wooden-wick-13.yaml", "material: Wooden wick, 13 mm\nrole: wick\nsupplier: Fennimore Aromatics\n");
    file("materials/jar-label.yaml", "material: Label stock for jars\nrole: label\n");
    let product = fs::read_to_string(shop.path("products/low-tide.yaml")).unwrap();
    let two = product.replace("wick: {type: wood,", "wick: {type: wood, count: 2,");
    file("products/low-tide.yaml", &(two + "counted:\n  - {use: wooden-wick-13}\n  - {use: jar-label, number: 2}\n"));
    let pour = "pour products/low-tide.yaml --count 24 --date 2026-11-01";
    // never received: noted, as for what is weighed
    let (_, told) = shop.run("pour products/low-tide.yaml --count 1 --date 2026-10-20");
    assert!(told.contains("no lot is recorded of `straight-jar-73`, `Wooden wick, 13 mm`, `Label stock"), "{told}");
    shop.refused(2, "receive wooden-wick-13 --lot W-1 --amount 1kg", "is counted, and `1000 g` came in");
    shop.refused(2, "receive kelp-and-cedar --lot F-1 --amount '3 pieces'", "is weighed, and `3 pieces` came in");
    shop.fine("receive wooden-wick-13 --lot W-1 --amount '30 pieces' --date 2026-10-01");
    shop.fine("receive straight-jar-73 --lot G-1 --amount '24 pieces' --date 2026-10-01");
    shop.refused(2, pour, "Wooden wick, 13 mm: 48 pieces are needed, and there are 30 in the store");
    assert_eq!(shop.json("lots")["lots"].as_array().unwrap().len(), 1);
    shop.fine("receive wooden-wick-13 --lot W-2 --amount '100 pieces' --date 2026-10-02");
    shop.fine("receive jar-label --lot L-1 --amount '500 pieces' --date 2026-10-02");
    shop.refused(2, &format!("{pour} --from wooden-wick-13=W-1"), "there are 30 of the named lots");
    shop.refused(2, &format!("{pour} --from wooden-wick-13=W-9"), "there are `W-1`, `W-2`");
    let poured = shop.json(pour);
    let wicks = &poured["pieces"][1];
    assert_eq!((wicks["material"].as_str(), wicks["pieces"].as_i64()), (Some("wooden-wick-13"), Some(48)));
    assert_eq!((wicks["lots"][0]["pieces"].as_i64(), wicks["lots"][1]["pieces"].as_i64()), (Some(30), Some(18)));
    let units = |n: usize| wicks["lots"][n]["units"].to_string();
    assert_eq!((units(0), units(1)), ("[1,15]".into(), "[16,24]".into()));
    assert_eq!(poured["pieces"][2]["lots"][0]["pieces"], 48);
    let trace = shop.json("trace L-1");
    assert_eq!(
        (trace["lots"][0]["code"].as_str(), trace["components"][0]["in_store"].as_str()),
        (Some("26305A0"), Some("452 pieces"))
    );
    let sheet = fs::read(shop.path("lots/26305A0/26305A0-batch-sheet.pdf")).unwrap();
    let wanted = ["Wooden wick, 13 mm", "W-1", "W-2", "L-1", "G-1", "48 pieces"].map(str::to_owned);
    assert_eq!(waxbill::inspect::missing(&sheet, &wanted).unwrap(), Vec::<String>::new());
    let shown = shop.fine("lot 26305A0");
    assert!(shown.contains("Wooden wick") || shown.contains("wooden-wick-13  30 pieces"), "{shown}");
    shop.fine("lot 26305A0 sheet -o lot.pdf");
    let paper = fs::read(shop.path("lot.pdf")).unwrap();
    let wanted = ["wooden-wick-13", "W-2"].map(str::to_owned);
    assert_eq!(waxbill::inspect::missing(&paper, &wanted).unwrap(), Vec::<String>::new());
    shop.fine("ledger verify");
}

/// A file of a counted thing among the materials is no part of a recipe, and a thing counts once.
#[test]
fn a_counted_thing_in_the_wrong_place_is_told() {
    let shop = Shop::new();
    fs::write(shop.path("materials/wick.yaml"), "material: Wick\nrole: wick\n").unwrap();
    let product = fs::read_to_string(shop.path("products/low-tide.yaml")).unwrap();
    let with = |more: &str| fs::write(shop.path("products/low-tide.yaml"), product.clone() + more).unwrap();
    with("counted: [{use: wick}, {use: wick}]\n");
    shop.refused(2, "check products/low-tide.yaml", "`wick` is counted twice");
    with("counted: [{use: kelp-and-cedar}]\n");
    shop.refused(2, "check products/low-tide.yaml", "kelp-and-cedar.yaml");
    with("counted: [{use: wick, number: 0}]\n");
    shop.refused(2, "check products/low-tide.yaml", "`0` is not a count");
    with("counted: [{use: wik}]\n");
    shop.refused(2, "check products/low-tide.yaml", "did you mean `wick`?");
    let recipe = product.replace("{use: kelp-and-cedar, load: 8 %, of: wax}", "{use: wick, load: 8 %, of: wax}");
    fs::write(shop.path("products/low-tide.yaml"), recipe).unwrap();
    shop.refused(2, "check products/low-tide.yaml", "wick.yaml");
}
