using StageView.Light.Moments;
using StageView.Live.Pictures;
using StageView.Stage;

namespace StageView.Live.Shown;

internal sealed partial class LiveShow
{
    /// <summary>How long the live camera's shutter is open, s.</summary>
    private static readonly TimeSpan Shutter = TimeSpan.FromSeconds(1.0 / 50);

    private readonly Lock _tablesGate = new();
    private byte[] _copyBuffer = [];
    private (int Version, byte[] Bytes) _tables = (-1, []);

    public int Newest(ref byte[] buffer, out MomentHead head)
    {
        lock (_stages)
        {
            // Read before the moment is made: a packet that comes meanwhile counts for the next one.
            var arrival = _capture is null && _look is null ? _desk.Arrival : 0;
            var marker = _measuring ? _desk.Marker : -1;
            var moment = MomentNow();
            var length = MomentBytes.Write(moment, ref buffer);
            // The first 8 bytes are the time, which alone changes nothing; drifting haze does follow it.
            var drifts = moment.Haze is { Unevenness: > 0 } h && (h.DriftX != 0 || h.DriftY != 0 || h.DriftZ != 0);
            var essence = Fingerprint.Of(buffer.AsSpan(sizeof(long), length - sizeof(long)), (ulong)((_version * 512L) + marker + 1));
            var print = drifts ? Fingerprint.Of(buffer.AsSpan(0, sizeof(long)), essence) : essence;
            head = new MomentHead(print, essence, arrival, moment.Time.TotalSeconds, marker, _version);
            return length;
        }
    }

    public byte[] Tables(int version)
    {
        lock (_tablesGate)
        {
            if (_tables.Version != version)
            {
                lock (_stages)
                {
                    _tables = (_version, MomentBytes.WriteTables(MomentNow()));
                }
            }

            return _tables.Bytes;
        }
    }

    public void WaitForChange(TimeSpan most) => _changed.WaitOne(most);

    /// <summary>What is to be seen now; call within the gate of the stages.</summary>
    private Moment MomentNow() => StageNow(out var at).MomentAt(at, Shutter);

    private StageModel StageNow(out TimeSpan at)
    {
        if (_capture is { } capture)
        {
            at = capture.Now();
            return capture.Stage;
        }

        at = _clock.GetElapsedTime(_start);
        return _look ?? _live;
    }

    /// <summary>A moment that outlives the gate.</summary>
    private Moment Copy(Moment moment)
    {
        var length = MomentBytes.Write(moment, ref _copyBuffer);
        return MomentBytes.Read(_copyBuffer.AsSpan(0, length), moment);
    }
}
