using StageView.Live.Terms;

namespace StageView.Live.Pictures;

/// <summary>What the window shows, and what it tells.</summary>
internal interface IMomentFeed : IMoments
{
    /// <summary>Waits until something may have changed.</summary>
    void WaitForChange(TimeSpan most);

    /// <summary>The window shows a marker level.</summary>
    void ShownInWindow(ShownHead shown);

    /// <summary>The window was clicked; the line to show for it.</summary>
    string PickForWindow(Ray ray);

    /// <summary>Cameras of the rig, in the order of their keys.</summary>
    IReadOnlyList<CameraLine> Cameras { get; }

    string Name { get; }

    /// <summary>The timecode of what is shown, or null.</summary>
    string? Timecode { get; }

    /// <summary>The worst of what is patched, or what stands in for the network, for a title; empty where all is heard.</summary>
    string Worst { get; }
}
