# Man pages and completion of shells: the command writes them from its own table of options.
set(swingroom_commands overlay cruise spot boat tide inputs exclusions rules merge verify manual completion) # tests hold it to the command's
set(swingroom_pages_dir "${PROJECT_BINARY_DIR}/pages")
set(swingroom_pages)
set(swingroom_shell_scripts)

# Adds to `list` a file that is what the command prints for these words.
function(swingroom_prints list file)
    add_custom_command(OUTPUT "${swingroom_pages_dir}/${file}"
        COMMAND ${CMAKE_COMMAND} -E make_directory "${swingroom_pages_dir}"
        COMMAND swingroom_command ${ARGN} > "${swingroom_pages_dir}/${file}"
        DEPENDS swingroom_command VERBATIM)
    set(${list} ${${list}} "${swingroom_pages_dir}/${file}" PARENT_SCOPE)
endfunction()

swingroom_prints(swingroom_pages swingroom.1 manual)
foreach(command ${swingroom_commands})
    swingroom_prints(swingroom_pages swingroom-${command}.1 manual ${command})
endforeach()
foreach(shell bash zsh fish)
    swingroom_prints(swingroom_shell_scripts swingroom.${shell} completion ${shell})
endforeach()
add_custom_target(swingroom_manual ALL DEPENDS ${swingroom_pages} ${swingroom_shell_scripts})
