using StageView.Live.Terms;

namespace StageView.Live.Pictures;

/// <summary>What draws pictures and may have a window.</summary>
internal interface IDrawer : ILivePictures
{
    bool HasWindow { get; }

    /// <summary>True once the window was closed by hand, or its display is gone: don't open another.</summary>
    bool WindowWasClosed { get; }

    /// <summary>Whether a rasteriser on the processor draws.</summary>
    bool IsSoftware { get; }

    /// <summary>Where the window stands, or stood last; what it was told itself while it has none.</summary>
    WindowStanding? Standing { get; }
}
