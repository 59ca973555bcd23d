//! What is written on paper first and entered from a file: YAML and CSV, all of it or nothing.

use crate::shop::Shop;
use serde_json::Value;
use std::fs;

const FORM: &str = "what,of,value
lot,,26305A0
by,,Ines
# columns may hold remarks on lines of their own
weighed,harbour-soy-blend,5786 g
weighed,kelp-and-cedar,462.8 g
bottle before,kelp-and-cedar,812.4 g
bottle after,kelp-and-cedar,349.6 g
measured,\"wax when poured, pitcher 1\",62 C
count,good,23
count,scrapped,1
fills,1,255.8 g
fills,2,255.4 g
scale step,,0.1 g
left,store,300 g
labels,printed,25
labels,used,23
labels,spoiled,2
retained,units,1
retained,place,cool cupboard
notes,,\"said \"\"good\"\" on the \u{e9}tag\u{e8}re\"
deviations,,pitcher 3 was poured late
";

fn kinds(record: &Value) -> Vec<&str> {
    record["entries"].as_array().unwrap().iter().filter_map(|e| e["kind"].as_str()).collect()
}

#[test]
fn a_filled_in_table_is_entered_like_a_filled_in_form() {
    let shop = Shop::stocked();
    let code = shop.poured();
    fs::write(shop.path("form.csv"), FORM.replace('\n', "\r\n")).unwrap();
    shop.fine(&format!("lot {code} enter form.csv"));
    let record = shop.json(&format!("lot {code}"));
    let wanted = ["weigh", "weigh", "bottle", "measure", "left", "count", "labels", "fill", "retain", "note", "note"];
    assert_eq!(kinds(&record), wanted);
    assert_eq!(record["balance"]["made"], 24);
    let entries = record["entries"].as_array().unwrap();
    let note = entries.iter().find(|e| e["kind"] == "note").unwrap();
    assert_eq!(note["payload"]["text"], "said \"good\" on the \u{e9}tag\u{e8}re");
    // the same words in YAML give the same entries
    let other = Shop::stocked();
    other.poured();
    let yaml = "lot: 26305A0\nby: Ines\nweighed: {harbour-soy-blend: 5786 g, kelp-and-cedar: 462.8 g}\n\
        bottle before: {kelp-and-cedar: 812.4 g}\nbottle after: {kelp-and-cedar: 349.6 g}\n\
        measured: {'wax when poured, pitcher 1': 62 C}\ncount: {good: 23, scrapped: 1}\nfills: [255.8 g, 255.4 g]\n\
        scale step: 0.1 g\nleft: {store: 300 g}\nlabels: {printed: 25, used: 23, spoiled: 2}\n\
        retained: {units: 1, place: cool cupboard}\nnotes: ['said \"good\" on the \u{e9}tag\u{e8}re']\n\
        deviations: [pitcher 3 was poured late]\n";
    fs::write(other.path("form.yaml"), yaml).unwrap();
    other.fine("lot 26305A0 enter form.yaml");
    let payloads =
        |record: &Value| record["entries"].as_array().unwrap().iter().map(|e| e["payload"].clone()).collect::<Vec<_>>();
    assert_eq!(payloads(&other.json("lot 26305A0")), payloads(&record));
}

/// A spreadsheet of another country puts semicolons between its cells, and a mark in front of its file.
#[test]
fn a_table_with_semicolons_is_read_too() {
    let shop = Shop::stocked();
    let code = shop.poured();
    fs::write(shop.path("form.csv"), "\u{feff}what;of;value\nlot;;26305A0\ncount;good;24\n").unwrap();
    shop.fine(&format!("lot {code} enter form.csv"));
}

/// One fault in the last row, and no row is entered; every fault is told with line and column.
#[test]
fn a_fault_in_a_table_is_told_with_its_place_and_nothing_is_entered() {
    let shop = Shop::stocked();
    let code = shop.poured();
    let refused = |text: &str, told: &[&str]| {
        fs::write(shop.path("form.csv"), text).unwrap();
        for told in told {
            shop.refused(2, &format!("lot {code} enter form.csv"), told);
        }
        assert_eq!(shop.json(&format!("lot {code}"))["entries"].as_array().unwrap().len(), 1, "{text}");
    };
    let with = |row: &str| FORM.to_owned() + row;
    refused(&with("weighed,kelp-and-ceder,1 g\n"), &["form.csv:23:", "did you mean `kelp-and-cedar`?"]);
    refused(&with("weighed,kelp-and-cedar,much\n"), &["form.csv:23:24"]);
    refused(&with("weihged,kelp-and-cedar,1 g\n"), &["form.csv:23:9", "is of nothing"]);
    refused(&with("weihged,,1 g\n"), &["form.csv:23:1", "did you mean `weighed`?"]);
    refused(&with("weighed,kelp-and-cedar\n"), &["form.csv:23:9", "here are fewer"]);
    refused(&with("notes,,late, very late\n"), &["form.csv:23:13", "here is another"]);
    refused(&with("notes,,\"late\n"), &["form.csv:23:8", "is not closed"]);
    refused(&with("count,good,24\n"), &["form.csv:23:7", "stands twice"]);
    refused(&with("left,cupboard,3 g\n"), &["form.csv:23:15", "nowhere wax can be left"]);
    refused(&with("bottle before,harbour-soy-blend,900 g\n"), &["form.csv:23:33", "has no weight after"]);
    refused(&FORM.replace("349.6 g", "912.4 g"), &["form.csv:8:29", "weighs 912.4 g after and 812.4 g before"]);
    refused(&FORM.replace("lot,,26305A0", "lot,,26329A4"), &["form.csv:2:6", "this file is about lot `26329A4`"]);
    refused(&FORM.replace("what,of,value", "what,value"), &["form.csv:1:1", "write `what,of,value` on top"]);
    refused("what,of,value\nlot,,26305A0\n", &["enters nothing"]);
    refused("", &["and not `what,of,value`"]);
}

/// 812.4 g before, 349.6 g after: 462.8 g gone, as weighed in. Dosed twice, 925.6 g would be gone.
#[test]
fn a_bottle_that_lost_more_than_was_weighed_in_rings() {
    let shop = Shop::stocked();
    let code = shop.poured();
    let bottle = format!("lot {code} bottle kelp-and-cedar --before 1275.2g");
    shop.refused(2, &format!("{bottle} --after 1275.3g"), "weighs 1275.3 g after and 1275.2 g before");
    shop.refused(2, &format!("lot {code} bottle salt --before 3g --after 2g"), "is no material of lot");
    let twice = shop.fine(&format!("{bottle} --after 349.6g --by Ines"));
    assert!(twice.contains("925.6 g less, by Ines"), "{twice}");
    assert!(
        twice.contains("look at this: Kelp and Cedar fragrance oil: its bottle lost 925.6 g, and 462.8 g are planned")
    );
    // it keeps the lot from being released until it is settled
    shop.refused(1, &format!("lot {code} release --by Oda --date 2026-11-15"), "its bottle lost 925.6 g");
    let slip = shop.json(&format!("lot {code}"))["entries"][1]["seq"].to_string();
    let right = format!("lot {code} bottle kelp-and-cedar --before 812.4g --after 349.6g");
    let told = shop.fine(&format!("{right} --corrects {slip} --because misread"));
    assert!(!told.contains("look at this"), "{told}");
    shop.fine(&format!("lot {code} weigh kelp-and-cedar 462.8g"));
    let two = format!("lot {code} bottle kelp-and-cedar --before 100g --after 90.6g");
    // by hand: 472.2 g lost for 462.8 g is 2.03 %, more than 2 % and more than two steps of 0.1 g, less than two of 5 g
    let told = shop.fine(&format!("{two} --step 0.1g"));
    assert!(told.contains("its bottle lost 472.2 g, and 462.8 g are weighed in"), "{told}");
    let last = shop.json(&format!("lot {code}"))["entries"].as_array().unwrap().last().unwrap()["seq"].to_string();
    let told = shop.fine(&format!("{two} --step 5g --corrects {last} --because 'another scale'"));
    assert!(!told.contains("look at this"), "{told}");
    shop.fine("ledger verify");
}
