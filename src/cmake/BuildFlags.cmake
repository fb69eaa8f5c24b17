# One interface target that every target of ours links: warnings, sanitizers, nothing global.
add_library(swingroom_build_flags INTERFACE)
target_compile_features(swingroom_build_flags INTERFACE cxx_std_20)
target_compile_options(swingroom_build_flags INTERFACE
    -Wall -Wextra -Wpedantic -Wshadow -Wconversion -Wsign-conversion -Wnon-virtual-dtor
    -Wold-style-cast -Woverloaded-virtual
    # g++ 12 sees an overlap in `"literal" + std::string` that is not there (GCC bug 105651).
    $<$<CXX_COMPILER_ID:GNU>:-Wno-restrict>
    # A fused multiply-add rounds once where two operations round twice: the same bytes on every processor
    # need the same rounding, so contraction is off.
    -ffp-contract=off
    $<$<BOOL:${SWINGROOM_WERROR}>:-Werror>)
if(SWINGROOM_SANITIZE)
    target_compile_options(swingroom_build_flags INTERFACE
        -fsanitize=${SWINGROOM_SANITIZE} -fno-sanitize-recover=all -fno-omit-frame-pointer)
    target_link_options(swingroom_build_flags INTERFACE -fsanitize=${SWINGROOM_SANITIZE})
endif()
# Compiled jointly, what is local to one file looks global to the next. Linked after the flags that it takes back.
add_library(swingroom_joint_flags INTERFACE)
target_compile_options(swingroom_joint_flags INTERFACE -Wno-shadow $<$<CXX_COMPILER_ID:GNU>:-Wno-subobject-linkage>)
if(CMAKE_UNITY_BUILD)
    target_link_libraries(swingroom_build_flags INTERFACE swingroom_joint_flags)
endif()
