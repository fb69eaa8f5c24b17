# `cpack -G DEB`: a Debian package of the command. The library is not in it: it is static, for who builds from source.
find_program(swingroom_date date)
execute_process(COMMAND "${swingroom_date}" --utc --rfc-email "--date=${swingroom_released}"
    OUTPUT_VARIABLE swingroom_released_rfc OUTPUT_STRIP_TRAILING_WHITESPACE)
configure_file("${PROJECT_SOURCE_DIR}/src/cmake/debian/changelog.in" "${PROJECT_BINARY_DIR}/debian/changelog" @ONLY)
install(FILES "${PROJECT_SOURCE_DIR}/src/cmake/debian/copyright" "${PROJECT_BINARY_DIR}/debian/changelog"
    DESTINATION "${CMAKE_INSTALL_DOCDIR}" COMPONENT debian EXCLUDE_FROM_ALL)

set(CPACK_GENERATOR DEB)
set(CPACK_PACKAGE_NAME swingroom)
set(CPACK_PACKAGE_CONTACT "swingroom authors <swingroom@example.org>")
set(CPACK_PACKAGING_INSTALL_PREFIX /usr)
set(CPACK_STRIP_FILES ON)
set(CPACK_INSTALL_DEFAULT_DIRECTORY_PERMISSIONS
    OWNER_READ OWNER_WRITE OWNER_EXECUTE GROUP_READ GROUP_EXECUTE WORLD_READ WORLD_EXECUTE)
set(CPACK_COMPONENTS_ALL command debian)
set(CPACK_COMPONENTS_GROUPING ALL_COMPONENTS_IN_ONE)
set(CPACK_DEB_COMPONENT_INSTALL ON)
set(CPACK_PRE_BUILD_SCRIPTS "${PROJECT_SOURCE_DIR}/src/cmake/debian/Polish.cmake")
set(CPACK_DEBIAN_FILE_NAME DEB-DEFAULT)
set(CPACK_DEBIAN_PACKAGE_SHLIBDEPS ON)
set(CPACK_DEBIAN_PACKAGE_SECTION science)
set(CPACK_DEBIAN_PACKAGE_PRIORITY optional)
set(CPACK_PACKAGE_DESCRIPTION_SUMMARY "finds where a boat has room to swing at anchor")
set(CPACK_DEBIAN_PACKAGE_DESCRIPTION
"Reads bathymetry, charts and other hazard layers, the boat, the water
levels and the wind, and answers for every cell of the raster: can this
boat lie here at anchor through a whole tide and a whole turn, and get the
anchor back afterwards? And if not, why not, and by how much?

Planning aid, not for navigation.")
include(CPack)
