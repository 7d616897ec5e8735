namespace StageView.Snapshot.Why;

/// <summary>Where a cause lies.</summary>
public enum CauseKind
{
    /// <summary>A fixture is lit that was not, or the other way round.</summary>
    Fixture,

    /// <summary>An attribute of a fixture differs.</summary>
    Attribute,

    /// <summary>The rig, a profile or the venue differs.</summary>
    Rig,

    /// <summary>A change of the capture comes at another time.</summary>
    Timing,

    /// <summary>Another renderer or driver drew it.</summary>
    Renderer,

    /// <summary>The frame shows another moment or camera.</summary>
    Moment,
}
