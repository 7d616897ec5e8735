using StageView.Rig.Pieces;
using StageView.Show.Sources;
using StageView.Stage;
using StageView.Stage.Survey;
using StageView.Wire.Sockets;

namespace StageView.Show.Survey;

/// <summary>Heads as the network has them now.</summary>
public sealed class ListenedHeads : IDisposable
{
    private readonly StageModel _stage;
    private readonly LiveSource _source;

    /// <param name="rig">The rig; its addresses are listened on.</param>
    /// <exception cref="ListenException">A port is in use or an address isn't this machine's.</exception>
    public ListenedHeads(RigScene rig)
    {
        _stage = new StageModel(rig, keepHistory: false);
        _source = ShowListener.Open(rig, [], _stage);
    }

    /// <summary>What is worth telling of the listening, a text each.</summary>
    public IReadOnlyList<string> Notes => _source.Notes;

    /// <summary>Where a sighting's head stands now.</summary>
    /// <param name="why">Why that can't be told; empty when it can.</param>
    public bool TryRead(Sighting sighting, out UsedSighting? used, out string why)
    {
        var can = SightedAngles.TryRead(_stage, sighting.Fixture, _source.Now, out var angles, out why);
        // A ten-thousandth of a degree is finer than any step of an axis; so much is kept in files.
        used = can ? new UsedSighting(sighting, Math.Round(angles.Pan, 4), Math.Round(angles.Tilt, 4)) : null;
        return can;
    }

    public void Dispose() => _source.Dispose();
}
