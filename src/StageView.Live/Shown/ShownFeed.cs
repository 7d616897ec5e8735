using StageView.Light.Moments;
using StageView.Live.Measuring;
using StageView.Live.Terms;
using StageView.Show.Sources;

namespace StageView.Live.Shown;

/// <summary>What is shown, as the bytes that pictures are drawn from.</summary>
internal sealed class ShownFeed(ShownStage shown, LevelsDesk desk, DelayMeter delays, CautionWatch cautions) : IMoments
{
    /// <summary>How long the live camera's shutter is open.</summary>
    public static readonly TimeSpan Shutter = TimeSpan.FromSeconds(1.0 / 50);

    private readonly Lock _tablesGate = new();
    private (int Version, byte[] Bytes) _tables = (-1, []);

    /// <inheritdoc/>
    public int Newest(ref byte[] buffer, out MomentHead head)
    {
        (head, var length) = shown.Read(ref buffer, Write);
        return length;
    }

    /// <inheritdoc/>
    public byte[] Tables(int version)
    {
        lock (_tablesGate)
        {
            if (_tables.Version != version)
            {
                _tables = shown.Read(now => (now.Version, MomentBytes.WriteTables(now.Model.MomentAt(now.At, Shutter))));
            }

            return _tables.Bytes;
        }
    }

    private (MomentHead Head, int Length) Write(OnStage now, ref byte[] buffer)
    {
        // Read before the moment is made: a packet that comes meanwhile counts for the next one.
        var arrival = now.IsNetwork ? desk.Arrival : 0;
        var marker = delays.Level;
        var moment = now.Model.MomentAt(now.At, Shutter);
        cautions.Follow(now.Model, moment);
        var length = MomentBytes.Write(moment, ref buffer);
        // The first 8 bytes are the time, which alone changes nothing; drifting haze does follow it.
        var drifts = moment.Haze is { Unevenness: > 0 } h && (h.DriftX != 0 || h.DriftY != 0 || h.DriftZ != 0);
        var essence = Fingerprint.Of(buffer.AsSpan(sizeof(long), length - sizeof(long)), (ulong)((now.Version * 512L) + marker + 1));
        var print = drifts ? Fingerprint.Of(buffer.AsSpan(0, sizeof(long)), essence) : essence;
        return (new MomentHead(print, essence, arrival, moment.Time.TotalSeconds, marker, now.Version), length);
    }
}
