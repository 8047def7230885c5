# What `cmake --install` puts where, and the Debian package that CPack makes of it (docs/packages.md).
#
# The manual page and the completions are printed by the binary itself, so they cannot lag behind it.
include(GNUInstallDirs)

set(words ${CMAKE_BINARY_DIR}/words)
file(MAKE_DIRECTORY ${words})
foreach(shell bash zsh fish)
  add_custom_command(OUTPUT ${words}/halfarc.${shell} COMMAND halfarc completion ${shell} > ${words}/halfarc.${shell}
    DEPENDS halfarc VERBATIM)
endforeach()
add_custom_command(OUTPUT ${words}/halfarc.1.gz COMMAND sh -c "'$<TARGET_FILE:halfarc>' manual | gzip -9n > ${words}/halfarc.1.gz"
  DEPENDS halfarc VERBATIM)
add_custom_target(halfarc_words ALL DEPENDS ${words}/halfarc.bash ${words}/halfarc.zsh ${words}/halfarc.fish
  ${words}/halfarc.1.gz)

install(TARGETS halfarc RUNTIME)
install(FILES ${words}/halfarc.1.gz DESTINATION ${CMAKE_INSTALL_MANDIR}/man1)
install(FILES ${words}/halfarc.bash DESTINATION ${CMAKE_INSTALL_DATADIR}/bash-completion/completions RENAME halfarc)
install(FILES ${words}/halfarc.zsh DESTINATION ${CMAKE_INSTALL_DATADIR}/zsh/vendor-completions RENAME _halfarc)
install(FILES ${words}/halfarc.fish DESTINATION ${CMAKE_INSTALL_DATADIR}/fish/vendor_completions.d)
install(FILES packaging/halfarc.desktop DESTINATION ${CMAKE_INSTALL_DATADIR}/applications)
install(FILES packaging/halfarc.svg DESTINATION ${CMAKE_INSTALL_DATADIR}/icons/hicolor/scalable/apps)
install(FILES README.md CHANGELOG.md DESTINATION ${CMAKE_INSTALL_DOCDIR})
install(FILES LICENSE DESTINATION ${CMAKE_INSTALL_DOCDIR} RENAME copyright)
install(DIRECTORY docs/ DESTINATION ${CMAKE_INSTALL_DOCDIR}/docs)
install(DIRECTORY examples DESTINATION ${CMAKE_INSTALL_DOCDIR})

set(CPACK_GENERATOR DEB)
set(CPACK_PACKAGE_NAME halfarc)
set(CPACK_PACKAGE_VENDOR "the founders of halfarc")
set(CPACK_PACKAGE_CONTACT "the founders of halfarc <founders@halfarc.invalid>")
set(CPACK_PACKAGE_DESCRIPTION "Chooses the night and the hour, reads short recordings, says which control to turn, which way \
and how far, and turns recordings into images with proof. It is no camera program, and no solar tool.")
set(CPACK_PACKAGING_INSTALL_PREFIX /usr)
set(CPACK_STRIP_FILES ON)
set(CPACK_DEBIAN_FILE_NAME DEB-DEFAULT)
set(CPACK_DEBIAN_PACKAGE_SECTION science)
set(CPACK_DEBIAN_PACKAGE_SHLIBDEPS ON)
set(CPACK_DEBIAN_COMPRESSION_TYPE xz)
include(CPack)
