# `cmake --install`: the command with its pages, and the library with its headers and the files that
# find_package(swingroom) reads. The component `command` is what the Debian package holds.
include(CMakePackageConfigHelpers)
set(swingroom_package_dir "${CMAKE_INSTALL_LIBDIR}/cmake/swingroom")
configure_package_config_file("${PROJECT_SOURCE_DIR}/src/cmake/swingroomConfig.cmake.in"
    "${PROJECT_BINARY_DIR}/swingroomConfig.cmake" INSTALL_DESTINATION "${swingroom_package_dir}")
write_basic_package_version_file("${PROJECT_BINARY_DIR}/swingroomConfigVersion.cmake" COMPATIBILITY SameMinorVersion)

install(TARGETS swingroom_command COMPONENT command)
install(FILES ${swingroom_pages} DESTINATION "${CMAKE_INSTALL_MANDIR}/man1" COMPONENT command)
install(FILES "${swingroom_pages_dir}/swingroom.bash" RENAME swingroom
    DESTINATION "${CMAKE_INSTALL_DATADIR}/bash-completion/completions" COMPONENT command)
install(FILES "${swingroom_pages_dir}/swingroom.zsh" RENAME _swingroom
    DESTINATION "${CMAKE_INSTALL_DATADIR}/zsh/site-functions" COMPONENT command)
install(FILES "${swingroom_pages_dir}/swingroom.fish"
    DESTINATION "${CMAKE_INSTALL_DATADIR}/fish/vendor_completions.d" COMPONENT command)

# README.md with its pictures, and the pages of the manual, which stand beside it once they are installed: links between
# them are made to fit.
file(GLOB swingroom_manual CONFIGURE_DEPENDS "${PROJECT_SOURCE_DIR}/src/manual/*.md")
foreach(document IN LISTS swingroom_manual ITEMS "${PROJECT_SOURCE_DIR}/README.md")
    set_property(DIRECTORY APPEND PROPERTY CMAKE_CONFIGURE_DEPENDS "${document}")
    file(READ "${document}" text)
    string(REPLACE "](src/manual/" "](manual/" text "${text}")
    string(REPLACE "](../../" "](../" text "${text}")
    cmake_path(GET document FILENAME name)
    if(NOT name STREQUAL "README.md")
        set(name "manual/${name}")
    endif()
    file(CONFIGURE OUTPUT "${PROJECT_BINARY_DIR}/documents/${name}" CONTENT "${text}" @ONLY)
endforeach()
install(DIRECTORY "${PROJECT_BINARY_DIR}/documents/" DESTINATION "${CMAKE_INSTALL_DOCDIR}" COMPONENT command)
install(DIRECTORY "${PROJECT_SOURCE_DIR}/testdata/pictures" DESTINATION "${CMAKE_INSTALL_DOCDIR}/testdata" COMPONENT command)

# What README.md's tour and the manual's examples look at: a copy of this folder by the name testdata is what they go
# through.
set(swingroom_examples "${CMAKE_INSTALL_DATADIR}/swingroom")
install(DIRECTORY "${PROJECT_SOURCE_DIR}/testdata/haven" DESTINATION "${swingroom_examples}" COMPONENT command)
install(DIRECTORY "${PROJECT_SOURCE_DIR}/testdata/cells" DESTINATION "${swingroom_examples}" COMPONENT command
    FILES_MATCHING PATTERN "QQ5HAVEN.*" PATTERN "QQ3APPRO.000")

install(TARGETS swingroom EXPORT swingroomTargets COMPONENT development)
install(DIRECTORY "${PROJECT_SOURCE_DIR}/include/swingroom" DESTINATION "${CMAKE_INSTALL_INCLUDEDIR}" COMPONENT development)
install(EXPORT swingroomTargets NAMESPACE swingroom:: DESTINATION "${swingroom_package_dir}" COMPONENT development)
install(FILES "${PROJECT_BINARY_DIR}/swingroomConfig.cmake" "${PROJECT_BINARY_DIR}/swingroomConfigVersion.cmake"
    DESTINATION "${swingroom_package_dir}" COMPONENT development)
install(FILES "${PROJECT_SOURCE_DIR}/LICENSE" DESTINATION "${CMAKE_INSTALL_DOCDIR}" COMPONENT development)
