; A season is a folder: its menu in the file manager gets an entry of its own, and loses it with the program.
!macro customInstall
  WriteRegStr SHCTX "Software\Classes\Directory\shell\Sheaflight" "" "Open as a season"
  WriteRegStr SHCTX "Software\Classes\Directory\shell\Sheaflight" "Icon" "$INSTDIR\${APP_EXECUTABLE_FILENAME}"
  WriteRegStr SHCTX "Software\Classes\Directory\shell\Sheaflight\command" "" '"$INSTDIR\${APP_EXECUTABLE_FILENAME}" "%1"'
!macroend

!macro customUnInstall
  DeleteRegKey SHCTX "Software\Classes\Directory\shell\Sheaflight"
!macroend
