# For scripts that start printer programs, which want a service announcer: a message bus and an
# announcer of their own, in the folder $scratch. The numbers of the processes that are started
# stand in $scratch/started, that of the announcer in $announcer.
begin() { # LOG COMMAND...: starts a service
  local log=$1; shift
  "$@" > "$log" 2>&1 &
  echo $! >> "$scratch/started"
}
await() { # WHAT COMMAND...: until it succeeds
  local what=$1; shift
  for _ in $(seq 1200); do "$@" > /dev/null 2>&1 && return; sleep 0.1; done
  echo "$what did not come up"; exit 1
}
cat > "$scratch/bus.conf" <<BUS
<!DOCTYPE busconfig PUBLIC "-//freedesktop//DTD D-Bus Bus Configuration 1.0//EN" "http://www.freedesktop.org/standards/dbus/1.0/busconfig.dtd">
<busconfig><type>system</type><listen>unix:path=$scratch/bus</listen><auth>EXTERNAL</auth><policy context="default">
<allow user="*"/><allow own="*"/><allow send_type="method_call"/><allow send_type="signal"/><allow send_requested_reply="true"/>
<allow receive_type="method_call"/><allow receive_type="signal"/><allow receive_requested_reply="true"/><allow receive_type="error"/>
<allow send_destination="*" eavesdrop="true"/></policy></busconfig>
BUS
export DBUS_SYSTEM_BUS_ADDRESS="unix:path=$scratch/bus"
begin "$scratch/bus.log" dbus-daemon --config-file="$scratch/bus.conf" --nofork
await "the message bus" test -S "$scratch/bus"
begin "$scratch/avahi.log" avahi-daemon --no-drop-root --no-chroot --no-rlimits
announcer=$!
await "the announcer" grep -q "startup complete" "$scratch/avahi.log"
