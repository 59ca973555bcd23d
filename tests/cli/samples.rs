//! The six samples through `needs` and `label --show plan`, whole, as files in `tests/cli/snapshots`.

use crate::bench::Bench;
use insta::assert_snapshot;

const SAMPLES: [&str; 6] = ["dune-grass", "low-tide", "mudflat", "night-heron", "reed-bed", "salt-lamp"];

#[test]
fn needs_of_every_sample() {
    let bench = Bench::new();
    for sample in SAMPLES {
        assert_snapshot!(format!("needs_{sample}"), bench.on_the_day(&format!("needs products/{sample}.yaml")));
    }
}

#[test]
fn plan_of_every_sample() {
    let bench = Bench::new();
    for sample in SAMPLES {
        let line = format!("label products/{sample}.yaml --lot 26329A4 --show plan");
        assert_snapshot!(format!("plan_{sample}"), bench.on_the_day(&line));
    }
}

#[test]
fn every_sample_is_clean() {
    let bench = Bench::new();
    for sample in SAMPLES {
        let told = bench.check(sample);
        assert!(told.starts_with("exit code 0\n"), "{told}");
    }
}
