# Several sources compiled as one take a third of the time: scripts/test compiles the tests so, and under the sanitizers
# the pure folders, too. What is shipped is compiled file by file, there as everywhere. Names in an anonymous namespace
# then meet those of other files, so that these are compiled alone. A "redefinition" that only scripts/test sees: choose
# another name, or put the file here.
set(swingroom_compiled_alone
    src/boat/boat_template.cpp
    src/report/tide_report.cpp
    src/room/berths.cpp
    src/room/insides.cpp
    src/room/least_in_disc.cpp
    src/room/passage.cpp
    src/water/constituents.cpp
    src/water/harmonic_tide.cpp
    src/water/tide_table.cpp
    tests/golden/documents_test.cpp
    tests/golden/first_use_test.cpp
    tests/golden/foreign_text_test.cpp
    tests/golden/haven_test.cpp
    tests/golden/json_test.cpp
    tests/golden/shell_test.cpp
    tests/golden/way_in_test.cpp
    tests/property/mosaic_test.cpp
    tests/property/room_test.cpp
    tests/property/several_sources_test.cpp
    tests/property/water_test.cpp
    tests/property/whole_run_test.cpp
    tests/property/zones_test.cpp
    tests/unit/boat/boat_template_test.cpp
    tests/unit/boat/statics_test.cpp
    tests/unit/boat/tables_test.cpp
    tests/unit/cli/boat_command_test.cpp
    tests/unit/cli/level_rasters_test.cpp
    tests/unit/cli/option_table_test.cpp
    tests/unit/cli/tide_options_test.cpp
    tests/unit/publish/formats_test.cpp
    tests/unit/publish/vector_layer_test.cpp
    tests/unit/report/report_test.cpp
    tests/unit/report/spot_report_test.cpp
    tests/unit/report/water_section_test.cpp
    tests/unit/report/why_not_test.cpp
    tests/unit/room/hazard_field_test.cpp
    tests/unit/sea/bathymetry_place_test.cpp
    tests/unit/sea/bathymetry_values_test.cpp
    tests/unit/sea/charts_test.cpp
    tests/unit/sea/exclusions_test.cpp
    tests/unit/sea/hazards_test.cpp
    tests/unit/sea/open_bathymetry_test.cpp
    tests/unit/sea/s57_effects_test.cpp
    tests/unit/sea/surveys_test.cpp
    tests/unit/water/tide_file_test.cpp)

# Takes the list into account for targets of the current folder.
function(swingroom_compile_alone)
    list(TRANSFORM swingroom_compiled_alone PREPEND "${PROJECT_SOURCE_DIR}/" OUTPUT_VARIABLE files)
    set_source_files_properties(${files} PROPERTIES SKIP_UNITY_BUILD_INCLUSION ON)
endfunction()
