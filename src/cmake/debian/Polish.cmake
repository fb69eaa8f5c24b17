# What Debian wants otherwise than `cmake --install` leaves it, done to the tree that goes into the package.
# Man pages and the change log are compressed (policy 12.1, 12.7), without the time of that (-n).
file(GLOB_RECURSE plain "${CPACK_TEMPORARY_DIRECTORY}/*.1" "${CPACK_TEMPORARY_DIRECTORY}/*/changelog")
foreach(file ${plain})
    execute_process(COMMAND gzip -9n "${file}" COMMAND_ERROR_IS_FATAL ANY)
endforeach()
# Debian's zsh looks for what packages bring in a folder of its own.
file(GLOB_RECURSE zsh "${CPACK_TEMPORARY_DIRECTORY}/*/_swingroom")
foreach(file ${zsh})
    cmake_path(GET file PARENT_PATH folder)
    cmake_path(REPLACE_FILENAME folder vendor-completions OUTPUT_VARIABLE vendor)
    file(RENAME "${folder}" "${vendor}")
endforeach()
