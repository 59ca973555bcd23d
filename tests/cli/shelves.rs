//! Finding the files: the product, its workshop, materials and vessels by name.

use crate::bench::Bench;
use insta::assert_snapshot;

#[test]
fn a_misspelt_file_is_told_with_the_nearest_one() {
    assert_snapshot!(Bench::new().check("low-tied"), @r"
    exit code 2
    --- stderr
    error[file/not-found]: there is no file `products/low-tied.yaml`
     |
    help: did you mean `products/low-tide.yaml`?
    ");
}

#[test]
fn an_absent_file_is_told_with_those_that_are_there() {
    assert_snapshot!(Bench::new().check("fog-bank"), @"
    exit code 2
    --- stderr
    error[file/not-found]: there is no file `products/fog-bank.yaml`
     |
    help: there are `curlew.yaml`, `dune-grass.yaml`, `eelgrass.yaml`, `godwit.yaml`, `low-tide.yaml`, `mudflat.yaml`, `night-heron.yaml`, `periwinkle.yaml`, `plover.yaml`, `reed-bed.yaml`, `salt-lamp.yaml`, `samphire.yaml`, `sandpiper.yaml`, `sea-thrift.yaml`, `spindrift.yaml`, `tidewrack.yaml`
    ");
}

#[test]
fn an_absent_file_in_an_empty_folder_is_told() {
    assert_snapshot!(Bench::empty().check("low-tide"), @r"
    exit code 2
    --- stderr
    error[file/not-found]: there is no file `products/low-tide.yaml`
     |
    help: name a product file, for example `products/low-tide.yaml`; `waxbill new FOLDER` makes some
    ");
}

#[test]
fn a_folder_is_no_product() {
    assert_snapshot!(Bench::new().on_the_day("check products"), @r"
    exit code 2
    --- stderr
    error[file/is-a-folder]: `products` is a folder
     |
    help: name the YAML file in it
    ");
}

#[test]
fn a_device_is_no_product() {
    assert_snapshot!(Bench::new().on_the_day("check /dev/null"), @"
    exit code 2
    --- stderr
    error[file/not-a-file]: `/dev/null` is a pipe or a device
     |
    help: save the text into a file and name that
    ");
}

#[test]
fn a_product_is_found_by_its_name_inside_the_workshop() {
    assert_snapshot!(Bench::new().on_the_day("check low-tide"), @r"
    exit code 0
    --- stdout
    Low Tide for us on 2026-11-25: nothing found
    ");
}

#[test]
fn a_misspelt_name_without_folder_is_told_with_the_nearest() {
    assert_snapshot!(Bench::new().on_the_day("check low-tied"), @r"
    exit code 2
    --- stderr
    error[file/not-found]: there is no file `low-tied`
     |
    help: did you mean `products/low-tide.yaml`?
    ");
}

#[test]
fn a_material_that_is_not_on_the_shelf_is_told_with_the_nearest() {
    let bench = Bench::new();
    bench.change("products/low-tide.yaml", "use: kelp-and-cedar", "use: kelp-and-ceder");
    assert_snapshot!(bench.check("low-tide"), @"
    exit code 2
    --- stderr
    error[file/not-on-shelf]: there is no `materials/kelp-and-ceder.yaml` in the workshop
      --> products/low-tide.yaml:12:11
       |
    12 |   - {use: kelp-and-ceder, load: 8 %, of: wax}
       |           ^^^^^^^^^^^^^^ here
       |
    help: did you mean `kelp-and-cedar`? there are `harbour-soy-blend`, `headland-paraffin`, `kelp-and-cedar`, `marram-and-rain`, `mud-brown-dye`, `skep-beeswax`, `stearin`, `thrift-and-salt`; or write it out in place of its name
    ");
}

#[test]
fn a_vessel_that_is_not_on_the_shelf_is_told() {
    let bench = Bench::new();
    bench.change("products/low-tide.yaml", "straight-jar-73", "apothecary");
    assert_snapshot!(bench.check("low-tide"), @r"
    exit code 2
    --- stderr
    error[file/not-on-shelf]: there is no `vessels/apothecary.yaml` in the workshop
     --> products/low-tide.yaml:7:9
      |
    7 | vessel: apothecary
      |         ^^^^^^^^^^ here
      |
    help: there are `round-tin-70`, `straight-jar-73`; or write it out in place of its name
    ");
}

#[test]
fn a_material_never_comes_from_outside_the_shelf() {
    let bench = Bench::new();
    bench.change("products/low-tide.yaml", "use: kelp-and-cedar", "use: ../products/salt-lamp");
    assert_snapshot!(bench.check("low-tide"), @"
    exit code 2
    --- stderr
    error[file/not-on-shelf]: there is no `materials/../products/salt-lamp.yaml` in the workshop
      --> products/low-tide.yaml:12:11
       |
    12 |   - {use: ../products/salt-lamp, load: 8 %, of: wax}
       |           ^^^^^^^^^^^^^^^^^^^^^ here
       |
    help: there are `harbour-soy-blend`, `headland-paraffin`, `kelp-and-cedar`, `marram-and-rain`, `mud-brown-dye`, `skep-beeswax`, `stearin`, `thrift-and-salt`; or write it out in place of its name
    ");
}

#[test]
fn an_unreadable_material_is_told_where_it_is_named() {
    let bench = Bench::new();
    bench.file("materials/kelp-and-cedar.yaml", b"material: Varech et c\xE8dre\n");
    assert_snapshot!(bench.check("low-tide"), @r"
    exit code 2
    --- stderr
    error[file/not-utf-8]: `materials/kelp-and-cedar.yaml` is not UTF-8 text: line 1 has a character saved in another encoding
      --> products/low-tide.yaml:12:11
       |
    12 |   - {use: kelp-and-cedar, load: 8 %, of: wax}
       |           ^^^^^^^^^^^^^^ named here
       |
    help: save the file as UTF-8 text in your editor and try again
    ");
}

#[test]
fn a_product_outside_a_workshop_is_told() {
    let bench = Bench::empty();
    bench.file("alone.yaml", "product: Alone\nkind: pillar\nidentity: Pillar candle\n");
    assert_snapshot!(bench.on_the_day("check alone.yaml"), @"
    exit code 2
    --- stderr
    error[file/no-workshop]: the product belongs to no workshop: no `workshop.yaml` lies in its folder or one above it
     --> alone.yaml:1:1
      |
    1 | product: Alone
      | ^^^^^^^ this product
      |
    help: make one with `waxbill new FOLDER`, or write `workshop: {maker: …, scales: …}` into the product file

    error[file/missing-key]: a product needs `recipe`
     --> alone.yaml:1:1
      |
    1 | product: Alone
      | ^^^^^^^ `recipe` is missing here
      |
    help: add `recipe: [{use: harbour-soy-blend, as: wax}]`

    error[file/missing-key]: a product needs `fill`
     --> alone.yaml:1:1
      |
    1 | product: Alone
      | ^^^^^^^ `fill` is missing here
      |
    help: add `fill: 9 oz`

    error[file/missing-key]: neither the product nor its workshop says where it is sold: no label could be made
     --> alone.yaml:1:1
      |
    1 | product: Alone
      | ^^^^^^^ `markets` is missing here
      |
    help: add `markets: [us]`, here or in `workshop.yaml`

    error[file/missing-key]: a pillar needs `wick`: trim and lead statements follow from it
     --> alone.yaml:2:7
      |
    2 | kind: pillar
      |       ^^^^^^ this kind
      |
    help: add `wick: {type: cotton, metal core: none}`

    error[file/missing-key]: a pillar needs `size`: it is what the label declares
     --> alone.yaml:2:7
      |
    2 | kind: pillar
      |       ^^^^^^ this kind
      |
    help: add `size: {diameter: 3 in, height: 6 in}`
    ");
}

#[test]
fn a_faulty_workshop_is_told_in_its_own_file() {
    let bench = Bench::new();
    bench.change("workshop.yaml", "  town: Quillmere\n", "");
    assert_snapshot!(bench.check("low-tide"), @r"
    exit code 2
    --- stderr
    error[file/missing-key]: the maker needs `town`
     --> workshop.yaml:3:3
      |
    3 |   name: Quillmere Candle Shed
      |   ^^^^ `town` is missing here
      |
    help: add `town: Quillmere`
    ");
}
