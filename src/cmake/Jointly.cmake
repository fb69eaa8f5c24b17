# Several sources compiled as one take a third of the time. scripts/test compiles the pure folders and their tests so under
# the sanitizers, and there alone: names in an anonymous namespace then meet those of other files, and a call may find
# another file's function, so that what is shipped and what tests it are compiled file by file. Files whose names meet are
# compiled alone. A "redefinition" that only the sanitizers' build sees: choose another name, or put the file here.
set(swingroom_compiled_alone
    src/boat/boat_template.cpp
    src/report/tide_report.cpp
    src/room/berths.cpp
    src/room/insides.cpp
    src/room/least_in_disc.cpp
    src/room/passage.cpp
    src/room/way_search.cpp
    src/water/constituents.cpp
    src/water/harmonic_tide.cpp
    src/water/tide_table.cpp
    tests/unit/boat/boat_template_test.cpp
    tests/unit/boat/statics_test.cpp
    tests/unit/boat/tables_test.cpp
    tests/unit/room/hazard_field_test.cpp
    tests/unit/water/tide_file_test.cpp)

# Takes the list into account for targets of the current folder.
function(swingroom_compile_alone)
    list(TRANSFORM swingroom_compiled_alone PREPEND "${PROJECT_SOURCE_DIR}/" OUTPUT_VARIABLE files)
    set_source_files_properties(${files} PROPERTIES SKIP_UNITY_BUILD_INCLUSION ON)
endfunction()
