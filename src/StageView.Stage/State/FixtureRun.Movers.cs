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

        int target = -1, turning = -1;
        foreach (var c in Program.Movers[feed].Channels)
        {
            if (FunctionOf(c) is { } f && f.Mover == feed)
            {
                (target, turning) = f.IsSpeed ? (target, Physical[c] != 0 || turning < 0 ? c : turning) : (c, turning);
            }
        }

        var (top, seconds) = SpeedLimit(m);
        var asked = seconds > 0 ? -seconds : top;
        ref var travel = ref Travels[m];
        if (turning >= 0 && (target < 0 || Physical[turning] != 0))
        {
            var v = SpeedOf(mover, turning);
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
        var snap = force || (target >= 0 && heardFrom >= 0 && IsIn(target, heardFrom)) || (top <= 0 && seconds <= 0);
        if (snap)
        {
            if (force || travel.IsEndless || travel.Target != goal || travel.ArrivalSeconds > at)
            {
                travel = Travel.Rest(at, goal);
            }
        }
        else if (travel.IsEndless || travel.Target != goal || _top[m] != asked)
        {
            var position = travel.PositionAt(at);
            if (travel.IsEndless && mover.Kind is MoverKind.Pan or MoverKind.Tilt or MoverKind.GoboRotor or MoverKind.PrismRotor or MoverKind.AnimationRotor)
            {
                position = travel.IsEndless ? goal + Math.IEEERemainder(position - goal, 360) : position;
            }

            var speed = seconds > 0 ? SpeedScope.TopFor(Math.Abs(goal - position), seconds, mover.Acceleration, mover.TopSpeed) : top;
            travel = Travel.To(at, position, travel.VelocityAt(at), goal, speed, mover.Acceleration);
        }

        _top[m] = asked;
    }

    private bool IsIn(int channel, int heardFrom)
    {
        var bytes = BytesOf(channel);
        return bytes.Length > 0 && bytes[0] >= heardFrom && bytes[0] < heardFrom + 512;
    }

    /// <summary>The slowest of what the speed channels ask for: a top speed, or how long each move takes, s (0 for no such time).</summary>
    private (float Top, float Seconds) SpeedLimit(int m)
    {
        var mover = Program.Movers[m];
        var (top, seconds) = (mover.TopSpeed, 0f);
        foreach (var c in Program.SpeedChannels[m])
        {
            if (FunctionOf(c) is not { } f || !SpeedScope.IsSpeed(f.Op) || !SpeedScope.Covers(f.Op, f.Number, mover))
            {
                continue;
            }

            var v = Physical[c];
            switch (SpeedScope.Meaning(f.Source))
            {
                case SpeedMeaning.Seconds:
                    seconds = Math.Max(seconds, v);
                    break;
                case SpeedMeaning.Share when mover.Kind != MoverKind.Travel:
                    top = Math.Min(top, Math.Clamp(v, SpeedScope.LeastShare, 1) * mover.TopSpeed);
                    break;
                case SpeedMeaning.Percent:
                    top = Math.Min(top, Math.Clamp(v / 100, SpeedScope.LeastShare, 1) * mover.TopSpeed);
                    break;
                case SpeedMeaning.PerSecond or SpeedMeaning.Share when mover.IsAxis:
                    top = Math.Min(top, Math.Max(v, .001f * mover.TopSpeed));
                    break;
                default:
                    break;
            }
        }

        return (top, seconds);
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
