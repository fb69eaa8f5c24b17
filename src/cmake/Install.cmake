# `cmake --install`: the command, the library with its headers, and the files that find_package(swingroom) reads.
include(CMakePackageConfigHelpers)
set(swingroom_package_dir "${CMAKE_INSTALL_LIBDIR}/cmake/swingroom")
configure_package_config_file("${PROJECT_SOURCE_DIR}/src/cmake/swingroomConfig.cmake.in"
    "${PROJECT_BINARY_DIR}/swingroomConfig.cmake" INSTALL_DESTINATION "${swingroom_package_dir}")
write_basic_package_version_file("${PROJECT_BINARY_DIR}/swingroomConfigVersion.cmake" COMPATIBILITY SameMinorVersion)

install(TARGETS swingroom EXPORT swingroomTargets)
install(TARGETS swingroom_command)
install(DIRECTORY "${PROJECT_SOURCE_DIR}/include/swingroom" DESTINATION "${CMAKE_INSTALL_INCLUDEDIR}")
install(EXPORT swingroomTargets NAMESPACE swingroom:: DESTINATION "${swingroom_package_dir}")
install(FILES "${PROJECT_BINARY_DIR}/swingroomConfig.cmake" "${PROJECT_BINARY_DIR}/swingroomConfigVersion.cmake"
    DESTINATION "${swingroom_package_dir}")
install(FILES "${PROJECT_SOURCE_DIR}/LICENSE" "${PROJECT_SOURCE_DIR}/README.md" DESTINATION "${CMAKE_INSTALL_DOCDIR}")
