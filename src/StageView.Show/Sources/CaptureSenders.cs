using StageView.Rig.Pieces;
using StageView.Wire.Capture;
using StageView.Wire.Levels;
using StageView.Wire.Tallies;
using StageView.Wire.Universes;

namespace StageView.Show.Sources;

/// <summary>
/// Who sent what at any time of a capture, read beside whoever plays it: a merge has no way back, so for an earlier time it is begun anew from the index.
/// May be asked from any thread.
/// </summary>
public sealed class CaptureSenders : IDisposable
{
    /// <summary>So far ahead it is cheaper to begin anew than to read on.</summary>
    private static readonly TimeSpan FarAhead = 2 * CaptureIndex.Lead;

    private readonly Lock _gate = new();
    private readonly WireSettings _settings;
    private readonly CaptureIndex _index;
    private readonly CaptureReader _reader;
    private UniverseMerger? _merger;
    private CapturePlayer? _player;
    private TimeSpan _at;
    private bool _closed;

    /// <param name="rig">Its network settings are those of the merge.</param>
    /// <param name="path">The capture.</param>
    /// <param name="index">Its index.</param>
    /// <exception cref="CaptureException">The file can't be read as a capture.</exception>
    public CaptureSenders(RigScene rig, string path, CaptureIndex index)
    {
        ArgumentNullException.ThrowIfNull(rig);
        Rig = rig;
        _settings = rig.Network.ToWireSettings();
        _index = index;
        _reader = CaptureReader.Open(path);
    }

    /// <summary>The rig that it was opened for.</summary>
    public RigScene Rig { get; }

    /// <summary>Every source's word on each address at a time, in the order of the addresses; nothing of any once it is disposed.</summary>
    /// <exception cref="CaptureException">The capture can't be read any more.</exception>
    public IReadOnlyList<IReadOnlyList<AddressSource>> At(TimeSpan time, IReadOnlyList<UniverseAddress> addresses)
    {
        ArgumentNullException.ThrowIfNull(addresses);
        lock (_gate)
        {
            if (_closed)
            {
                return [.. addresses.Select(_ => (IReadOnlyList<AddressSource>)[])];
            }

            if (_merger is null || _player is null || time < _at || time - _at > FarAhead)
            {
                _merger = new UniverseMerger(_settings);
                _player = new CapturePlayer(_reader, _merger);
                _player.SeekTo(_index, time);
            }
            else
            {
                _player.PlayTo(time);
            }

            _at = time;
            return _merger.SourcesOf(addresses);
        }
    }

    public void Dispose()
    {
        lock (_gate)
        {
            _closed = true;
            _reader.Dispose();
        }
    }
}
