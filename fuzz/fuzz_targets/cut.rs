#![no_main]
libfuzzer_sys::fuzz_target!(init: seamfast_fuzz::tolerate_the_reader(), |data: &[u8]| seamfast_fuzz::cut(data));
