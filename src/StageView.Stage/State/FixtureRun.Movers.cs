using StageView.Rig.Pieces;
using StageView.Stage.Motion;
using StageView.Stage.Programs;

namespace StageView.Stage.State;

/// <summary>Where the movers are told to go: from the active functions to targets, speeds and restarts.</summary>
internal sealed partial class FixtureRun
{
    private void Drive(int m, double at, int heardFrom, bool force)
    {
        var mover = Program.Movers[m];
        var feed = m;
        var swap = Fixture.SwapPanTilt && Program.PanMover >= 0 && Program.TiltMover >= 0;
        if (swap && m == Program.PanMover)
        {
            feed = Program.TiltMover;
        }
        else if (swap && m == Program.TiltMover)
        {
            feed = Program.PanMover;
        }

        int target = -1, speed = -1;
        foreach (var c in Program.Movers[feed].Channels)
        {
            if (FunctionOf(c) is { } f && f.Mover == feed)
            {
                (target, speed) = f.IsSpeed ? (target, Physical[c] != 0 || speed < 0 ? c : speed) : (c, speed);
            }
        }

        var top = TopSpeed(mover);
        ref var travel = ref Travels[m];
        if (speed >= 0 && (target < 0 || Physical[speed] != 0))
        {
            var v = SpeedOf(mover, speed);
            if (force)
            {
                travel = Travel.Endless(at, mover.RestPosition, v, v, 0);
            }
            else if (!travel.IsEndless || travel.Target != v)
            {
                travel = Travel.Endless(at, travel.PositionAt(at), travel.VelocityAt(at), v, mover.Acceleration);
            }

            return;
        }

        var goal = target >= 0 ? TargetOf(mover, feed, target) : mover.RestPosition;
        var snap = force || (target >= 0 && heardFrom >= 0 && IsIn(target, heardFrom)) || top <= 0;
        if (snap)
        {
            if (force || travel.IsEndless || travel.Target != goal || travel.ArrivalSeconds > at)
            {
                travel = Travel.Rest(at, goal);
            }
        }
        else if (travel.IsEndless || travel.Target != goal || _top[m] != top)
        {
            var position = travel.PositionAt(at);
            if (travel.IsEndless && mover.Kind is MoverKind.Pan or MoverKind.Tilt or MoverKind.GoboRotor or MoverKind.PrismRotor or MoverKind.AnimationRotor)
            {
                position = travel.IsEndless ? goal + Math.IEEERemainder(position - goal, 360) : position;
            }

            travel = Travel.To(at, position, travel.VelocityAt(at), goal, top, mover.Acceleration);
        }

        _top[m] = top;
    }

    private bool IsIn(int channel, int heardFrom)
    {
        var bytes = BytesOf(channel);
        return bytes.Length > 0 && bytes[0] >= heardFrom && bytes[0] < heardFrom + 512;
    }

    private float TopSpeed(MoverCode mover)
    {
        var top = mover.TopSpeed;
        if (!mover.IsAxis)
        {
            return top;
        }

        foreach (var c in Program.SpeedChannels)
        {
            if (FunctionOf(c) is { Op: AttributeOp.MoveSpeed } f)
            {
                // Shares of the top speed where the range is at most 1 (and for all but winches); otherwise deg/s or m/s.
                var most = Math.Max(f.Source.PhysicalFrom, f.Source.PhysicalTo);
                var asked = mover.Kind != MoverKind.Travel && most <= 1 ? Physical[c] * mover.TopSpeed : Physical[c];
                top = Math.Clamp(asked, .001f * mover.TopSpeed, mover.TopSpeed);
            }
        }

        return top;
    }

    private double TargetOf(MoverCode mover, int feed, int channel)
    {
        if (mover.Kind is MoverKind.ColourWheel or MoverKind.GoboWheel)
        {
            return Math.Max(1, Wheel[channel]);
        }

        double value = Physical[channel];
        var main = mover.Main;
        if (mover.Kind is MoverKind.Pan or MoverKind.Tilt && main is not null)
        {
            var invert = mover.Kind == MoverKind.Pan ? Fixture.InvertPan : Fixture.InvertTilt;
            var own = Program.Movers[feed].Main ?? main;
            if (invert || own != main)
            {
                var span = own.Source.PhysicalTo - own.Source.PhysicalFrom;
                var share = span == 0 ? 0 : (float)((value - own.Source.PhysicalFrom) / span);
                value = main.PhysicalAt(invert ? 1 - share : share);
            }

            var limit = mover.Kind == MoverKind.Pan ? Fixture.PanLimit : Fixture.TiltLimit;
            if (limit is { } l)
            {
                value = Math.Clamp(value, Math.Min(l.From, l.To), Math.Max(l.From, l.To));
            }
        }

        return value;
    }

    private double SpeedOf(MoverCode mover, int channel)
    {
        double v = Physical[channel];
        if (mover.Kind is MoverKind.ColourWheel or MoverKind.GoboWheel)
        {
            return v / 360 * Math.Max(1, FunctionOf(channel)!.Slots.Length);
        }

        return (mover.Kind == MoverKind.Pan && Fixture.InvertPan) || (mover.Kind == MoverKind.Tilt && Fixture.InvertTilt) ? -v : v;
    }
}
